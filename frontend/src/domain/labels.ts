/** Foods of the household's own, from what their label prints. */

import type { Amounts, CompositionTables } from './composition.ts';
import { atwater, fourStep } from './food-energy.ts';
import { InputError } from './input-error.ts';
import type { EnergyTables, FoodRow } from './tables.ts';

const SUMS: Readonly<Record<string, readonly [string, string]>> = {
  methionine_cystine: ['methionine', 'cystine'],
  phenylalanine_tyrosine: ['phenylalanine', 'tyrosine'],
  epa_dha: ['epa', 'dha'],
};

const sum = (values: readonly number[]): number => values.reduce((all, each) => all + each, 0);

const isNumber = (value: number | null | undefined): value is number => typeof value === 'number';

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
export function completeLabel(energy: EnergyTables, label: Label, isDry: boolean) {
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
