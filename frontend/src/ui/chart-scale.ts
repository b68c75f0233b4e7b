// Ticks of a chart's axes. The words of the axes are text on the page, not paint on the canvas.

export interface ChartPoint {
  /** Milliseconds since 1970. */
  readonly at: number;
  readonly value: number;
}

export interface TrendPoint {
  readonly at: number;
  readonly middle: number;
  readonly low: number;
  readonly high: number;
}

export interface Axis {
  readonly from: number;
  readonly to: number;
  readonly ticks: readonly number[];
  readonly decimals: number;
}

const steps = [1, 2, 2.5, 5, 10] as const;

/** An axis of three to six round ticks that holds all the values. */
export function axisFor(values: readonly number[]): Axis {
  const lowest = Math.min(...values);
  const highest = Math.max(...values);
  const reach = Math.max(highest - lowest, Math.abs(highest) * 0.02, 1e-6);
  const power = 10 ** Math.floor(Math.log10(reach / 3));
  const factor = steps.find((candidate) => candidate * power >= reach / 3 - 1e-12) ?? 10;
  const step = factor * power;
  const first = Math.floor(lowest / step + 1e-9);
  const last = Math.max(first + 2, Math.ceil(highest / step - 1e-9));
  const ticks = Array.from({ length: last - first + 1 }, (_, index) =>
    Number(((first + index) * step).toPrecision(12)),
  );
  const decimals = Math.max(0, ...ticks.map((tick) => (String(tick).split('.')[1] ?? '').length));
  return { from: first * step, to: last * step, ticks, decimals };
}
