/** What is behind a figure: foods, grams and sources. The twin of the server's contributions. */

import {
  least,
  most,
  totals,
  unknownShare,
  type CompositionTables,
  type Portion,
} from './composition.ts';
import { InputError } from './input-error.ts';
import type { FoodRow } from './tables.ts';

/** What one food gives of a nutrient; null is unknown, never zero. */
export interface Contribution {
  readonly food: string;
  readonly mass_g: number;
  readonly least: number | null;
  readonly most: number | null;
  /** Of the known amount of the whole, 0 to 1; null when the food has no figure. */
  readonly share: number | null;
  /** The part of the food's own energy whose amount is unknown, 0 to 1. */
  readonly unknown_share: number;
  readonly source: string;
  readonly locator: string;
  readonly verified: string | null;
}

export interface Contributions {
  readonly nutrient: string;
  readonly known: number | null;
  readonly best: number | null;
  readonly rows: readonly Contribution[];
}

/** What each food gives, the largest share first; foods without a figure last, heaviest first. */
export function contributions(
  tables: CompositionTables,
  portions: readonly Portion[],
  nutrient: string,
): Contributions {
  if (!tables.nutrients.some(({ key }) => key === nutrient)) {
    throw new InputError(`There is no nutrient called “${nutrient}”.`, ['nutrient']);
  }
  const whole = totals(tables, portions);
  const known = whole.known[nutrient] ?? null;
  const rows = [...merged(portions).values()].map((portion) =>
    rowOf(tables, portion, nutrient, known),
  );
  return { nutrient, known, best: whole.best[nutrient] ?? null, rows: rows.sort(inOrder) };
}

function merged(portions: readonly Portion[]): Map<string, Portion> {
  const found = new Map<string, Portion>();
  for (const [food, mass_g] of portions) {
    if (mass_g > 0) found.set(food.key, [food, (found.get(food.key)?.[1] ?? 0) + mass_g]);
  }
  return found;
}

function rowOf(
  tables: CompositionTables,
  [food, mass_g]: Portion,
  nutrient: string,
  known: number | null,
): Contribution {
  const part = (per_100g: number | null) => (per_100g === null ? null : (per_100g * mass_g) / 100);
  const amount = part(least(food, nutrient));
  return {
    food: food.key,
    mass_g,
    least: amount,
    most: part(most(tables, food, nutrient)),
    share: amount === null || known === null ? null : known > 0 ? amount / known : 0,
    unknown_share: unknownShare(food, nutrient),
    ...provenance(food, nutrient),
  };
}

/** Who gives the figure; where there are only bounds, who gives those; else the food's record. */
function provenance(
  food: FoodRow,
  nutrient: string,
): Pick<Contribution, 'source' | 'locator' | 'verified'> {
  const bounds = nutrient in food.v ? undefined : food.range_from?.[nutrient];
  const [source, locator, verified] = food.from?.[nutrient] ??
    bounds ?? [food.source, food.locator, food.verified ?? null];
  return { source, locator, verified };
}

function inOrder(a: Contribution, b: Contribution): number {
  return (
    Number(a.least === null) - Number(b.least === null) ||
    (b.least ?? 0) - (a.least ?? 0) ||
    b.mass_g - a.mass_g ||
    (a.food < b.food ? -1 : 1)
  );
}
