/**
 * What is in food: totals that keep apart what is unknown. The twin of the server's composition,
 * proved on fixtures/vectors/nutrition.json.
 *
 * Amounts are in the nutrient's own unit per 100 g. A value that is absent is unknown, never zero.
 */

import { atwater, fourStep } from './food-energy.ts';
import { InputError } from './input-error.ts';
import type { EnergyTables, FoodRow, NutrientRow, Tables } from './tables.ts';

export type Amounts = Readonly<Record<string, number>>;
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

const SUMS: Readonly<Record<string, readonly [string, string]>> = {
  methionine_cystine: ['methionine', 'cystine'],
  phenylalanine_tyrosine: ['phenylalanine', 'tyrosine'],
  epa_dha: ['epa', 'dha'],
};

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

/** What a household types from a label, as fed; null or absent where the label is silent. */
export interface Label {
  readonly protein_pct: number;
  readonly fat_pct: number;
  readonly fibre_pct?: number | null;
  readonly moisture_pct?: number | null;
  readonly ash_pct?: number | null;
  readonly energy_kcal_per_100g?: number | null;
  readonly nutrients_per_100g?: Amounts | null;
}

export type LabelStyle = 'dry' | 'cooked' | 'raw' | 'treat';

/** The tables a label is read with. */
export type LabelTables = CompositionTables & { readonly energy: EnergyTables };

/** A food of the household's own: everything the label does not print stays unknown, unbounded. */
export function foodFromLabel(
  tables: LabelTables,
  label: Label,
  own: { key: string; name: string; style: LabelStyle },
): FoodRow {
  const isDry = own.style === 'dry' || own.style === 'treat';
  checkNutrients(tables, label, own.name);
  const [energy_kcal_per_100g, energy_method] = labelEnergy(tables.energy, label, isDry);
  const style = own.style === 'treat' ? 'dry' : own.style;
  const food: FoodRow = {
    key: own.key,
    name: own.name,
    group: 'own',
    style,
    state: style,
    bone_share: null,
    bone_source: null,
    energy_kcal_per_100g,
    energy_method,
    source: 'trencher',
    locator: 'label',
    keeping_class: own.style === 'cooked' ? 'cooked' : null,
    ...withSums(labelValues(label)),
  };
  return food;
}

function checkNutrients(tables: LabelTables, label: Label, name: string): void {
  for (const [key, amount] of Object.entries(label.nutrients_per_100g ?? {})) {
    if (!tables.nutrients.some((row) => row.key === key)) {
      throw new InputError(
        `${name}: there is no nutrient called “${key}”; choose one of the list.`,
        ['nutrients_per_100g'],
      );
    }
    if (!Number.isFinite(amount) || amount < 0) {
      throw new InputError(
        `${name}: ${key} is ${amount} per 100 g; it must be zero or more. Check the label.`,
        ['nutrients_per_100g'],
      );
    }
  }
}

function labelEnergy(
  energy: EnergyTables,
  label: Label,
  isDry: boolean,
): [number, FoodRow['energy_method']] {
  const printed = label.energy_kcal_per_100g ?? null;
  if (printed !== null) {
    if (!(printed >= 0 && printed <= 950)) {
      throw new InputError(
        `The energy is ${printed} kcal per 100 g; pure fat has 900. Check the label and its unit.`,
        ['energy_kcal_per_100g'],
      );
    }
    completeLabel(energy, label, true);
    return [printed, 'label'];
  }
  const whole = completeLabel(energy, label, isDry);
  return isDry ? [fourStep(energy, whole), 'four_step'] : [atwater(energy, whole), 'atwater'];
}

/** A label made whole: carbohydrate by difference, and the usual defaults where it is silent. */
function completeLabel(energy: EnergyTables, label: Label, isDry: boolean) {
  checkPercentages(label);
  if (!isNumber(label.moisture_pct) && !isDry) {
    throw new InputError(
      'The moisture is missing. It is printed on the label of every moist food: type it, or type ' +
        'the energy per 100 g.',
      ['moisture_pct'],
    );
  }
  const { food } = energy;
  const fibre_g = label.fibre_pct ?? food.fibre_missing_pct;
  const ash_g = label.ash_pct ?? (isDry ? food.ash_dry_pct : food.ash_moist_pct);
  const water_g = label.moisture_pct ?? food.moisture_dry_pct;
  const rest_g = 100 - label.protein_pct - label.fat_pct - fibre_g - ash_g - water_g;
  return {
    protein_g: label.protein_pct,
    fat_g: label.fat_pct,
    fibre_g,
    water_g,
    carbohydrate_g: Math.max(0, rest_g),
  };
}

const PERCENTAGES = ['protein_pct', 'fat_pct', 'fibre_pct', 'moisture_pct', 'ash_pct'] as const;

function checkPercentages(label: Label): void {
  const printed = PERCENTAGES.filter((name) => isNumber(label[name]));
  for (const name of printed) {
    const value = label[name];
    if (!isNumber(value) || !(value >= 0 && value <= 100)) {
      throw new InputError(
        `${name} is ${value}; a content is between 0 and 100 %. Check the label.`,
        [name],
      );
    }
  }
  const total = sum(printed.map((name) => label[name] ?? 0));
  // Labels round each figure, so half a percent too much is still a label and not a slip.
  if (total > 100.5) {
    throw new InputError(
      `The contents add up to ${total.toFixed(1)} %; they cannot pass 100 %. Check the label.`,
      printed,
    );
  }
}

function labelValues(label: Label): Record<string, number> {
  const printed: Readonly<Record<string, number | null | undefined>> = {
    protein: label.protein_pct,
    fat: label.fat_pct,
    fibre: label.fibre_pct,
    water: label.moisture_pct,
    ash: label.ash_pct,
  };
  const values: Record<string, number> = {};
  for (const [key, amount] of Object.entries(printed)) {
    if (isNumber(amount)) values[key] = amount;
  }
  // By difference only when nothing had to be assumed: an assumed ash would make a false fact.
  if (Object.keys(values).length === Object.keys(printed).length) {
    values.carbohydrate = Math.max(0, 100 - sum(Object.values(values)));
  }
  return { ...values, ...label.nutrients_per_100g };
}

/** The paired nutrients of an own food: known with both parts, at least the one part otherwise. */
function withSums(values: Amounts): { v: Amounts; low?: Amounts } {
  const v: Record<string, number> = { ...values };
  const low: Record<string, number> = {};
  for (const [pair, parts] of Object.entries(SUMS)) {
    const found = parts.map((part) => values[part]).filter(isNumber);
    if (pair in values || found.length === 0) continue;
    (found.length === parts.length ? v : low)[pair] = sum(found);
  }
  return Object.keys(low).length > 0 ? { v, low } : { v };
}
