/**
 * What is in food: totals that keep apart what is unknown. The twin of the server's composition,
 * proved on fixtures/vectors/nutrition.json.
 *
 * Amounts are in the nutrient's own unit per 100 g. A value that is absent is unknown, never zero.
 */

import { InputError } from './input-error.ts';
import type { FoodRow, NutrientRow, Tables } from './tables.ts';

export { foodFromLabel, type Label, type LabelStyle, type LabelTables } from './labels.ts';

import type { Amounts } from './sums.ts';

export type { Amounts } from './sums.ts';
export type MaybeAmounts = Readonly<Record<string, number | null>>;

/** The part of the tables that composition needs. */
export type CompositionTables = Pick<Tables, 'nutrients' | 'group_upper'>;

export interface Totals {
  readonly mass_g: number;
  readonly energy_kcal: number;
  /** The part that is certain; null when nothing is known. */
  readonly known: MaybeAmounts;
  /** The most there can be; null when something in it is unbounded. */
  readonly best: MaybeAmounts;
  /** Share of the energy that comes from food whose value is unknown, 0 to 1. */
  readonly unknown_energy_share: Amounts;
}

/** A food and its mass in grams. */
export type Portion = readonly [FoodRow, number];

const sum = (values: readonly number[]): number => values.reduce((all, each) => all + each, 0);

const isNumber = (value: number | null | undefined): value is number => typeof value === 'number';

/** The amount that is certainly there, null when nothing is known. */
export function least(food: FoodRow, nutrient: string): number | null {
  return food.low?.[nutrient] ?? food.v[nutrient] ?? null;
}

/** The most there can be, null when nothing published bounds it. */
export function most(tables: CompositionTables, food: FoodRow, nutrient: string): number | null {
  const upper = tables.group_upper[food.group];
  return food.high?.[nutrient] ?? food.v[nutrient] ?? upper?.[nutrient] ?? null;
}

/** The share of a food's energy whose amount of the nutrient is unknown. */
export function unknownShare(food: FoodRow, nutrient: string): number {
  return nutrient in food.v ? 0 : (food.gap?.[nutrient] ?? 1);
}

/** Mass, energy and nutrients of several portions, with what is unknown in them. */
export function totals(tables: CompositionTables, portions: readonly Portion[]): Totals {
  for (const [food, mass_g] of portions) {
    if (!Number.isFinite(mass_g) || mass_g < 0) {
      throw new InputError(
        `${food.name}: ${mass_g} g was given; a mass is zero or more. Weigh it again.`,
        ['mass_g'],
      );
    }
  }
  const eaten = portions.filter(([, mass_g]) => mass_g > 0);
  const each = <T>(make: (nutrient: string) => T) => byNutrient(tables.nutrients, make);
  return {
    mass_g: sum(eaten.map(([, mass_g]) => mass_g)),
    energy_kcal: sum(eaten.map(energyOf)),
    known: each((nutrient) => known(eaten, nutrient)),
    best: each((nutrient) => best(tables, eaten, nutrient)),
    unknown_energy_share: each((nutrient) => shareUnknown(eaten, nutrient)),
  };
}

function byNutrient<T>(
  nutrients: readonly NutrientRow[],
  make: (nutrient: string) => T,
): Record<string, T> {
  return Object.fromEntries(nutrients.map(({ key }) => [key, make(key)]));
}

function energyOf([food, mass_g]: Portion): number {
  return (mass_g / 100) * food.energy_kcal_per_100g;
}

function known(eaten: readonly Portion[], nutrient: string): number | null {
  const amounts = eaten.map(([food, mass_g]) => [least(food, nutrient), mass_g] as const);
  if (amounts.length > 0 && amounts.every(([amount]) => amount === null)) return null;
  return sum(amounts.map(([amount, mass_g]) => (mass_g / 100) * (amount ?? 0)));
}

function best(
  tables: CompositionTables,
  eaten: readonly Portion[],
  nutrient: string,
): number | null {
  const amounts = eaten.map(([food, mass_g]) => {
    const amount = most(tables, food, nutrient);
    return amount === null ? null : (mass_g / 100) * amount;
  });
  return sumOfAll(amounts);
}

function shareUnknown(eaten: readonly Portion[], nutrient: string): number {
  let weights = eaten.map(energyOf);
  // Without energy the share is taken by mass: salt has holes too.
  if (sum(weights) === 0) weights = eaten.map(([, mass_g]) => mass_g);
  const whole = sum(weights);
  if (whole === 0) return 0;
  const unknown = eaten.map(
    ([food], index) => (weights[index] ?? 0) * unknownShare(food, nutrient),
  );
  return sum(unknown) / whole;
}

function sumOfAll(amounts: readonly (number | null)[]): number | null {
  return amounts.every(isNumber) ? sum(amounts) : null;
}

function sumOfKnown(amounts: readonly (number | null)[]): number | null {
  const found = amounts.filter(isNumber);
  return found.length > 0 ? sum(found) : null;
}

/** The sum of several totals, such as the meals of a window. */
export function combined(tables: CompositionTables, parts: readonly Totals[]): Totals {
  const eaten = parts.filter((part) => part.mass_g > 0);
  if (eaten.length === 0) return totals(tables, []);
  const energy_kcal = sum(eaten.map((part) => part.energy_kcal));
  const weights = eaten.map((part) => (energy_kcal > 0 ? part.energy_kcal : part.mass_g));
  const each = <T>(make: (nutrient: string) => T) => byNutrient(tables.nutrients, make);
  return {
    mass_g: sum(eaten.map((part) => part.mass_g)),
    energy_kcal,
    known: each((nutrient) => sumOfKnown(eaten.map((part) => part.known[nutrient] ?? null))),
    best: each((nutrient) => sumOfAll(eaten.map((part) => part.best[nutrient] ?? null))),
    unknown_energy_share: each(
      (nutrient) =>
        sum(
          eaten.map(
            (part, index) => (weights[index] ?? 0) * (part.unknown_energy_share[nutrient] ?? 1),
          ),
        ) / sum(weights),
    ),
  };
}

/** A part of a total, such as one serving of a batch; `share` is by mass, 1 for the whole. */
export function scaled(tables: CompositionTables, total: Totals, share: number): Totals {
  if (!Number.isFinite(share) || share < 0) {
    throw new InputError(`The share is ${share}; it must be zero or more. Check the masses.`, [
      'share',
    ]);
  }
  if (share === 0) return totals(tables, []);
  const part = (amounts: MaybeAmounts) =>
    byNutrient(tables.nutrients, (nutrient) => {
      const amount = amounts[nutrient] ?? null;
      return amount === null ? null : amount * share;
    });
  return {
    mass_g: total.mass_g * share,
    energy_kcal: total.energy_kcal * share,
    known: part(total.known),
    best: part(total.best),
    unknown_energy_share: total.unknown_energy_share,
  };
}

/** An amount per 1000 kcal, null when it is unknown or there is no energy. */
export function per1000Kcal(amount: number | null, energy_kcal: number): number | null {
  return amount === null || energy_kcal <= 0 ? null : (amount / energy_kcal) * 1000;
}

export interface Ratio {
  readonly known: number | null;
  readonly lowest: number | null;
  readonly highest: number | null;
}

/**
 * Calcium to phosphorus by mass, with its range.
 *
 * The two of bone rise and fall together, so while both are known the range runs from least over
 * least to most over most; with a hole in one it widens.
 */
export function calciumToPhosphorus(total: Totals): Ratio {
  const [leastCa, leastP] = [total.known.calcium ?? null, total.known.phosphorus ?? null];
  const [mostCa, mostP] = [total.best.calcium ?? null, total.best.phosphorus ?? null];
  const share = total.unknown_energy_share;
  const fromKnown = divide(leastCa, leastP);
  if (share.calcium === 0 && share.phosphorus === 0) {
    const ends = [fromKnown, divide(mostCa, mostP)].filter(isNumber);
    if (ends.length === 0) return { known: fromKnown, lowest: null, highest: null };
    return { known: fromKnown, lowest: Math.min(...ends), highest: Math.max(...ends) };
  }
  return { known: fromKnown, lowest: divide(leastCa, mostP), highest: divide(mostCa, leastP) };
}

function divide(top: number | null, bottom: number | null): number | null {
  return top === null || bottom === null || bottom === 0 ? null : top / bottom;
}
