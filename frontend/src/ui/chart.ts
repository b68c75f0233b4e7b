// The only module that knows uPlot, so that it is fetched with the first chart and not before.
import uPlot from 'uplot';
import 'uplot/dist/uPlot.min.css';
import type { Axis, ChartPoint, TrendPoint } from './chart-scale';

export interface ChartInput {
  readonly points: readonly ChartPoint[];
  readonly trend: readonly TrendPoint[];
  readonly axis: Axis;
}

/** Room around the plot, so that the last point is not cut; CSS pixels. */
export const overhang = 6;

interface Inks {
  ink: string;
  rule: string;
  axis: string;
  band: string;
  edge: string;
  ground: string;
}

function inksOf(element: HTMLElement): Inks {
  const style = getComputedStyle(element);
  const read = (name: string): string => style.getPropertyValue(name).trim();
  return {
    ink: read('--ink'),
    rule: read('--rule'),
    axis: read('--rule-strong'),
    band: read('--gap-soft'),
    edge: read('--gap'),
    ground: read('--paper'),
  };
}

type Column = (number | null)[];

function tableOf(input: ChartInput): uPlot.AlignedData {
  const seconds = (point: { at: number }): number => point.at / 1000;
  const last = input.points.at(-1);
  const before = input.points.slice(0, -1);
  const xs = [...new Set([...input.points, ...input.trend].map(seconds))].sort((a, b) => a - b);
  const column = <Point extends { at: number }>(
    points: readonly Point[],
    pick: (point: Point) => number,
  ): Column => {
    const known = new Map(points.map((point) => [seconds(point), pick(point)]));
    return xs.map((x) => known.get(x) ?? null);
  };
  return [
    xs,
    column(input.trend, (point) => point.high),
    column(input.trend, (point) => point.low),
    column(input.trend, (point) => point.middle),
    column(before, (point) => point.value),
    column(last ? [last] : [], (point) => point.value),
  ];
}

function ruleTicks(plot: uPlot, axis: Axis, inks: Inks): void {
  const { ctx, bbox } = plot;
  ctx.save();
  ctx.lineWidth = devicePixelRatio;
  axis.ticks.forEach((tick, index) => {
    const y = Math.round(plot.valToPos(tick, 'y', true)) + 0.5;
    ctx.strokeStyle = index === 0 ? inks.axis : inks.rule;
    ctx.beginPath();
    ctx.moveTo(bbox.left, y);
    ctx.lineTo(bbox.left + bbox.width, y);
    ctx.stroke();
  });
  ctx.restore();
}

function optionsFor(element: HTMLElement, input: ChartInput, inks: Inks): uPlot.Options {
  const line = { points: { show: false }, spanGaps: true };
  const edge = { ...line, stroke: inks.edge, width: 1, dash: [3, 3] };
  return {
    width: element.clientWidth,
    height: element.clientHeight,
    padding: [overhang, overhang, overhang, overhang],
    cursor: { show: false },
    legend: { show: false },
    axes: [{ show: false }, { show: false }],
    scales: { y: { range: [input.axis.from, input.axis.to] } },
    series: [
      {},
      edge,
      edge,
      { ...line, stroke: inks.ink, width: 2 },
      {
        stroke: 'transparent',
        width: 0,
        points: { show: true, size: 7, width: 2, stroke: inks.ink, fill: inks.ground },
      },
      {
        stroke: 'transparent',
        width: 0,
        points: { show: true, size: 11, width: 1, stroke: inks.ink, fill: inks.ink },
      },
    ],
    bands: input.trend.length > 1 ? [{ series: [1, 2], fill: inks.band }] : [],
    hooks: { drawClear: [(plot) => ruleTicks(plot, input.axis, inks)] },
  };
}

/** Draws the chart into `element` and keeps it right when its size or the theme changes. Returns the end of it. */
export function draw(element: HTMLElement, input: ChartInput): () => void {
  const data = tableOf(input);
  let plot = new uPlot(optionsFor(element, input, inksOf(element)), data, element);
  const resized = new ResizeObserver(() =>
    plot.setSize({ width: element.clientWidth, height: element.clientHeight }),
  );
  resized.observe(element);
  const dark = matchMedia('(prefers-color-scheme: dark)');
  const repaint = (): void => {
    plot.destroy();
    plot = new uPlot(optionsFor(element, input, inksOf(element)), data, element);
  };
  dark.addEventListener('change', repaint);
  return () => {
    dark.removeEventListener('change', repaint);
    resized.disconnect();
    plot.destroy();
  };
}
