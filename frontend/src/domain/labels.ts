/** Foods of the household's own, from what their label prints. */

import type { CompositionTables } from './composition.ts';
import { InputError } from './input-error.ts';
import { isDry, labelEnergies, type LabelStyle, type WholeLabel } from './label-energy.ts';
import { amountsOf, MOST_PCT, type LabelLine, type ServingSize } from './label-lines.ts';
import { bounds, sum, withSums, type Amounts, type Bounded } from './sums.ts';
import type { EnergyTables, FoodRow, NutrientRow, Tables } from './tables.ts';

export type { LabelStyle } from './label-energy.ts';

const isNumber = (value: number | null | undefined): value is number => typeof value === 'number';

/**
 * What a household types from a label; null or absent where the label is silent. Contents are
 * per cent as fed, or of the dry matter; the moisture is always as fed. Guaranteed means that
 * protein and fat are minima and the rest maxima.
 */
export interface Label {
  readonly protein_pct: number;
  readonly fat_pct: number;
  readonly fibre_pct?: number | null;
  readonly moisture_pct?: number | null;
  readonly ash_pct?: number | null;
  readonly means?: 'typical' | 'guaranteed' | null;
  readonly basis?: 'as_fed' | 'dry_matter' | null;
  readonly energy_kcal_per_100g?: number | null;
  readonly nutrients_per_100g?: Amounts | null;
  readonly lines?: readonly LabelLine[] | null;
  readonly serving?: ServingSize | null;
}

/** The tables a label is read with. */
export type LabelTables = CompositionTables & { readonly energy: EnergyTables } & Pick<
    Tables,
    'forms'
  >;

export interface OwnName {
  readonly key: string;
  readonly name: string;
}

/** What every food of the household's own has in common. */
export function ownRow(own: OwnName, style: LabelStyle, energy: Energy, amounts: Bounded): FoodRow {
  const shown = foodStyle(style);
  return {
    key: own.key,
    name: own.name,
    group: 'own',
    style: shown,
    state: shown,
    bone_share: null,
    bone_source: null,
    ...energy,
    source: 'trencher',
    locator: 'label',
    keeping_class: style === 'cooked' || style === 'wet' ? 'cooked' : null,
    v: amounts.values,
    ...bounds(amounts),
  };
}

type Energy = Pick<FoodRow, 'energy_kcal_per_100g' | 'energy_method'>;

function foodStyle(style: LabelStyle): FoodRow['style'] {
  if (style === 'treat') return 'dry';
  return style === 'wet' ? 'cooked' : style;
}

/** A food of the household's own: everything the label does not print stays unknown, unbounded. */
export function foodFromLabel(
  tables: LabelTables,
  label: Label,
  own: OwnName & { style: LabelStyle },
): FoodRow {
  checkNutrients(tables.nutrients, label.nutrients_per_100g ?? {}, own.name);
  const printed = asFed(tables.energy, label, own.style);
  const whole = analysisOf(tables.energy, printed, own.style);
  const energies = labelEnergies(tables.energy, whole, {
    printed_kcal: label.energy_kcal_per_100g ?? null,
    style: own.style,
  });
  const contents = contentsOf(printed);
  const lines = amountsOf(tables, label.lines ?? [], {
    serving: label.serving ?? null,
    dry_matter_share:
      isNumber(printed.moisture_pct) || isDry(own.style) ? (100 - whole.water_g) / 100 : null,
  });
  const amounts = withSums(
    { ...contents.values, ...lines.values, ...label.nutrients_per_100g },
    { ...contents.low, ...lines.low },
    { ...contents.high, ...lines.high },
    {},
  );
  const energy = {
    energy_kcal_per_100g: energies.used_kcal_per_100g,
    energy_method: energies.method,
  };
  return ownRow(own, own.style, energy, amounts);
}

export function checkNutrients(
  nutrients: readonly NutrientRow[],
  amounts: Amounts,
  name: string,
): void {
  for (const [key, amount] of Object.entries(amounts)) {
    if (!nutrients.some((row) => row.key === key)) {
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

/** The label with its contents as fed, whatever basis it prints them on. */
export function asFed(energy: EnergyTables, label: Label, style: LabelStyle): Label {
  if (label.basis !== 'dry_matter') return label;
  const silent = { protein_pct: 0, fat_pct: 0, moisture_pct: label.moisture_pct ?? null };
  const share = (100 - completeLabel(energy, silent, isDry(style)).water_g) / 100;
  const wet = (pct: number | null | undefined) => (isNumber(pct) ? pct * share : null);
  return {
    ...label,
    protein_pct: label.protein_pct * share,
    fat_pct: label.fat_pct * share,
    fibre_pct: wet(label.fibre_pct),
    ash_pct: wet(label.ash_pct),
    basis: null,
  };
}

/** The contents as fed, with the usual defaults where the label is silent. */
export function analysisOf(energy: EnergyTables, label: Label, style: LabelStyle): WholeLabel {
  // With the label's own energy nothing has to be assumed, so a silent label is accepted.
  return completeLabel(energy, label, isDry(style) || isNumber(label.energy_kcal_per_100g));
}

/** A label made whole: carbohydrate by difference, and the usual defaults where it is silent. */
export function completeLabel(energy: EnergyTables, label: Label, dry: boolean): WholeLabel {
  checkPercentages(label);
  if (!isNumber(label.moisture_pct) && !dry) {
    throw new InputError(
      'The moisture is missing. It is printed on the label of every moist food: type it, or type ' +
        'the energy per 100 g.',
      ['moisture_pct'],
    );
  }
  const { food } = energy;
  const fibre_g = label.fibre_pct ?? food.fibre_missing_pct;
  const ash_g = label.ash_pct ?? (dry ? food.ash_dry_pct : food.ash_moist_pct);
  const water_g = label.moisture_pct ?? food.moisture_dry_pct;
  const rest_g = 100 - label.protein_pct - label.fat_pct - fibre_g - ash_g - water_g;
  return {
    protein_g: label.protein_pct,
    fat_g: label.fat_pct,
    fibre_g,
    water_g,
    ash_g,
    carbohydrate_g: Math.max(0, rest_g),
    assumed: PERCENTAGES.filter((name) => !isNumber(label[name])),
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
  if (total > MOST_PCT) {
    throw new InputError(
      `The contents add up to ${total.toFixed(1)} %; they cannot pass 100 %. Check the label.`,
      printed,
    );
  }
}

const MINIMA = new Set(['protein', 'fat']);

function contentsOf(label: Label): Bounded {
  const printed: Readonly<Record<string, number | null | undefined>> = {
    protein: label.protein_pct,
    fat: label.fat_pct,
    fibre: label.fibre_pct,
    water: label.moisture_pct,
    ash: label.ash_pct,
  };
  const known = Object.entries(printed).filter((entry): entry is [string, number] =>
    isNumber(entry[1]),
  );
  if (label.means === 'guaranteed') {
    return {
      values: {},
      low: Object.fromEntries(known.filter(([key]) => MINIMA.has(key))),
      high: Object.fromEntries(known.filter(([key]) => !MINIMA.has(key))),
    };
  }
  const values: Record<string, number> = Object.fromEntries(known);
  // By difference only when nothing had to be assumed: an assumed ash would make a false fact.
  if (known.length === Object.keys(printed).length) {
    values.carbohydrate = Math.max(0, 100 - sum(Object.values(values)));
  }
  return { values, low: {}, high: {} };
}
