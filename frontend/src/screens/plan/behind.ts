/** What is behind a figure, in words: the foods and grams that made it, and who says so. */
import { contributions, type Contribution } from '../../domain/contributions';
import type { Tables } from '../../domain/tables';
import { shortFigure } from '../../ui/beams';
import { fixed, foodMass, type Units } from '../../ui/words';
import { shownIn, type Kitchen, type Verdict } from './judged';

export interface MakerRow {
  readonly key: string;
  /** Share of what is known, or a question mark. */
  readonly figure: string;
  readonly name: string;
  readonly detail: string;
  readonly source: string;
}

/** One nutrient of a mixture, and the foods that made it. */
export interface Made {
  readonly nutrient: string;
  readonly name: string;
  /** How much is known in all, and how much there can be. */
  readonly whole: string;
  readonly makers: readonly MakerRow[];
  /** Foods without a figure: what they hold is not known, and not zero. */
  readonly without: readonly MakerRow[];
}

interface Unit {
  readonly unit: string;
  readonly scale: number;
  readonly decimals: number;
}

function range(least: number, most: number | null, { unit, scale, decimals }: Unit): string {
  const [low, high] = [
    shortFigure(least / scale, decimals),
    most === null ? null : shortFigure(most / scale, decimals),
  ];
  return high === null || high === low ? `${low} ${unit}` : `${low} to ${high} ${unit}`;
}

function percent(share: number): string {
  const points = share * 100;
  return points > 0 && points < 1 ? '<1 %' : `${fixed(points, 0)} %`;
}

function holds({ least, most }: Contribution, unit: Unit): string {
  if (least !== null) return range(least, most, unit);
  return most === null ? 'no figure' : `no figure; at most ${range(most, null, unit)} by its kind`;
}

function massWords(mass_g: number, units: Units): string {
  if (units === 'us' || mass_g >= 10) return foodMass(mass_g, units);
  return `${fixed(mass_g, 1)} g`;
}

function makerOf(
  { kitchen, tables, units }: { kitchen: Kitchen; tables: Tables; units: Units },
  row: Contribution,
  unit: Unit,
): MakerRow {
  const isOwn = tables.foods.every(({ key }) => key !== row.food);
  const memory = row.verified === 'memory' ? ' (from memory)' : '';
  return {
    key: row.food,
    figure: row.share === null ? '?' : percent(row.share),
    name: kitchen.name(row.food),
    detail: `${massWords(row.mass_g, units)}: ${holds(row, unit)}`,
    source: isOwn
      ? 'Your own food: what was typed from its label'
      : `${tables.sources[row.source]?.title ?? row.source}, ${row.locator}${memory}`,
  };
}

/** Each nutrient of a row, with the foods that made it; the largest share first. */
export function madeOf(
  kitchen: Kitchen,
  verdict: Verdict,
  nutrients: readonly string[],
  units: Units,
): Made[] {
  const { tables } = kitchen;
  if (tables === null) return [];
  return nutrients.flatMap((nutrient) => {
    const described = tables.nutrients.find((each) => each.key === nutrient);
    if (described === undefined) return [];
    const { known, best, rows } = contributions(tables, verdict.counted, nutrient);
    const shown = shownIn(described.unit, [known]);
    const unit = {
      ...shown,
      decimals: shown.scale === 1 ? described.decimals : Math.max(2, described.decimals),
    };
    const makers = rows.map((row) => ({
      row,
      maker: makerOf({ kitchen, tables, units }, row, unit),
    }));
    return [
      {
        nutrient,
        name: described.name,
        whole: wholeWords(known, best, unit, verdict.energy_kcal),
        makers: makers.filter(({ row }) => row.least !== null).map(({ maker }) => maker),
        without: makers.filter(({ row }) => row.least === null).map(({ maker }) => maker),
      },
    ];
  });
}

function wholeWords(
  known: number | null,
  best: number | null,
  unit: Unit,
  energy_kcal: number,
): string {
  if (known === null) return 'No food in it has a figure.';
  const rest = best === null ? ' is known; how much more there is, no table says' : '';
  return `In ${fixed(energy_kcal, 0)} kcal: ${range(known, best, unit)}${rest}.`;
}
