/** A batch judged for the dogs that eat it: the strictest wish of all of them, nutrient by nutrient. */
import { app, type Rec } from '../../db/store.svelte';
import { judge, judgeRatio, targets, wordFor, type Targets } from '../../domain/adequacy';
import { least, per1000Kcal, totals, type Totals } from '../../domain/composition';
import type { FoodRow, Stage, Tables } from '../../domain/tables';
import { listed } from '../../ui/words';
import { sourceWords } from '../stores/keeping';
import { foodNames, ownFood } from './catalogue';
import type { CheckRow } from './checks';
import type { Eater } from './eaters';

/** The yardstick until the household chooses: NRC 2006, allowance and safe upper limit. */
export const EDITION = 'nrc-2006';

/** The yardstick of the household, where these tables have it. */
export function editionIn(tables: Pick<Tables, 'standards'>): string {
  const isThere = tables.standards.some((each) => each.key === app.standard);
  return isThere && app.standard !== null ? app.standard : EDITION;
}

export interface Portion {
  readonly food: string;
  readonly mass_g: number;
}

/** Foods by key, those of the table and those of the household. */
export interface Kitchen {
  readonly tables: Tables | null;
  readonly food: (key: string) => FoodRow | null;
  readonly kind: (key: string) => FoodRow | null;
  readonly name: (key: string) => string;
  readonly known_per_100g: (food: FoodRow, nutrient: string) => number | null;
}

export interface Verdict {
  readonly mass_g: number;
  readonly energy_kcal: number;
  readonly rows: readonly CheckRow[];
  /** Foods that could not be counted, for want of their composition. */
  readonly missing: readonly string[];
  readonly totals: Totals | null;
}

export function kitchenOf(tables: Tables | null, own: readonly Rec<'food'>[]): Kitchen {
  const rows = new Map<string, FoodRow>(tables?.foods.map((food) => [food.key, food]) ?? []);
  for (const food of own) {
    const row = tables === null ? null : ownFood(tables, food);
    if (row !== null) rows.set(food.rid, row);
  }
  const find = (key: string): FoodRow | null => rows.get(key) ?? null;
  return {
    tables,
    food: find,
    kind: find,
    name: foodNames(tables, own),
    known_per_100g: least,
  };
}

const STAGE_WORDS: Readonly<Record<Stage, string>> = {
  adult: 'grown',
  growth_early: 'a young puppy',
  growth_late: 'growing',
  reproduction: 'in whelp or suckling',
};

/** The columns of the yardstick that the eaters stand in; the grown dog's when nobody eats. */
function columnsOf(tables: Tables, eaters: readonly Eater[]): Targets[] {
  const edition = editionIn(tables);
  const all = eaters.map((eater) => targets(tables, edition, eater.stage, eater.size));
  const found = new Map(all.map((each) => [`${each.stage} ${each.variant}`, each]));
  return found.size > 0 ? [...found.values()] : [targets(tables, edition, 'adult')];
}

interface Limit {
  readonly minimum: number | null;
  readonly maximum: number | null;
  readonly sources: readonly string[];
}

function greatest(values: readonly (number | null)[]): number | null {
  const present = values.filter((value): value is number => value !== null);
  return present.length === 0 ? null : Math.max(...present);
}

function smallest(values: readonly (number | null)[]): number | null {
  const present = values.filter((value): value is number => value !== null);
  return present.length === 0 ? null : Math.min(...present);
}

function sourceLine(tables: Tables, target: Targets, nutrient: string): string[] {
  const row = target.limits[nutrient];
  if (row === undefined) return [];
  const memory = row.verified === 'memory' ? ' (not yet compared with the printed source)' : '';
  const words = STAGE_WORDS[target.stage];
  return [`For dogs ${words}: ${sourceWords(tables.sources, row.source, row.locator)}${memory}`];
}

/** The highest minimum and the lowest maximum of all the stages. */
function strictest(tables: Tables, all: readonly Targets[], nutrient: string): Limit {
  const rows = all.flatMap((target) => target.limits[nutrient] ?? []);
  return {
    minimum: greatest(rows.map((row) => row.recommended ?? row.minimum)),
    maximum: smallest(rows.map((row) => row.maximum)),
    sources: all.flatMap((target) => sourceLine(tables, target, nutrient)),
  };
}

const LARGER: Readonly<Record<string, string>> = { mg: 'g', µg: 'mg' };

/** 4800 mg are shown as 4.8 g: a figure of four digits is hard to compare at a glance. */
export function shownIn(
  unit: string,
  values: readonly (number | null)[],
): { readonly unit: string; readonly scale: number } {
  const larger = LARGER[unit];
  const most = greatest(values) ?? 0;
  return larger !== undefined && most >= 1000 ? { unit: larger, scale: 1000 } : { unit, scale: 1 };
}

function nutrientRow(
  tables: Tables,
  total: Totals,
  all: readonly Targets[],
  nutrient: string,
): CheckRow[] {
  const described = tables.nutrients.find((each) => each.key === nutrient);
  const { minimum, maximum, sources } = strictest(tables, all, nutrient);
  if (described === undefined || (minimum === null && maximum === null)) return [];
  const known = per1000Kcal(total.known[nutrient] ?? null, total.energy_kcal);
  const best = per1000Kcal(total.best[nutrient] ?? null, total.energy_kcal);
  const word = wordFor(known, best, { minimum, maximum });
  const { unit, scale } = shownIn(described.unit, [minimum ?? maximum]);
  const shown = (value: number | null): number | null => (value === null ? null : value / scale);
  return [
    {
      nutrient,
      name: described.name,
      word,
      reading: {
        known: shown(known) ?? 0,
        best: shown(best),
        minimum: shown(minimum),
        maximum: shown(maximum),
      },
      unit,
      decimals: scale === 1 ? described.decimals : Math.max(2, described.decimals),
      scale,
      sources,
    },
  ];
}

function ratioRow(tables: Tables, total: Totals, all: readonly Targets[]): CheckRow[] {
  const judged = all.map((target) => judgeRatio(total, target));
  const first = judged[0];
  if (first === undefined || (first.known === null && first.highest === null)) return [];
  const order = ['over', 'short', 'unknown', 'met'] as const;
  const word = order.find((each) => judged.some((one) => one.word === each)) ?? 'unknown';
  return [
    {
      nutrient: 'calcium_to_phosphorus',
      name: 'Calcium to phosphorus',
      word,
      reading: {
        known: first.known ?? first.lowest ?? 0,
        best: word === 'unknown' ? first.highest : null,
        minimum: greatest(judged.map((each) => each.minimum)),
        maximum: smallest(judged.map((each) => each.maximum)),
      },
      unit: 'to 1',
      decimals: 2,
      scale: 1,
      sources: all.map((target) => sourceWords(tables.sources, target.ratio.source)),
    },
  ];
}

const nothing: Verdict = { mass_g: 0, energy_kcal: 0, rows: [], missing: [], totals: null };

/** Judges portions of foods for the dogs that eat them; for grown dogs when none is chosen. */
export function verdict(
  kitchen: Kitchen,
  portions: readonly Portion[],
  eaters: readonly Eater[],
): Verdict {
  const { tables } = kitchen;
  const missing = portions.map((each) => each.food).filter((food) => kitchen.food(food) === null);
  if (tables === null) return { ...nothing, missing };
  const counted = portions.flatMap(({ food, mass_g }) => {
    const row = kitchen.food(food);
    return row === null ? [] : [[row, mass_g] as const];
  });
  const total = totals(tables, counted);
  if (total.energy_kcal <= 0) return { ...nothing, mass_g: total.mass_g, missing, totals: total };
  const all = columnsOf(tables, eaters);
  const nutrients = all[0] ? judge(total, all[0]).map((each) => each.nutrient) : [];
  return {
    mass_g: total.mass_g,
    energy_kcal: total.energy_kcal,
    rows: [
      ...nutrients.flatMap((nutrient) => nutrientRow(tables, total, all, nutrient)),
      ...ratioRow(tables, total, all),
    ],
    missing,
    totals: total,
  };
}

/** By what and for whom it is judged. */
export function yardstick(kitchen: Kitchen, eaters: readonly Eater[]): string {
  const { tables } = kitchen;
  const key = tables === null ? EDITION : editionIn(tables);
  const edition = tables?.standards.find((each) => each.key === key)?.name ?? key;
  const growing = eaters
    .filter((eater) => eater.stage.startsWith('growth'))
    .map((eater) => eater.name);
  const whom =
    eaters.length === 0
      ? 'a grown dog, since none is chosen'
      : growing.length === 0
        ? listed(eaters.map((eater) => eater.name))
        : `the strictest of ${listed(eaters.map((eater) => eater.name))}; ${listed(growing)} still growing`;
  return `Per 1000 kcal, for ${whom}. ${edition}.`;
}
