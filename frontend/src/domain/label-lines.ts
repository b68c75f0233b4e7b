/** The lines of a label beyond its analysis: minerals, vitamins, and the contents of a tablet. */

import { InputError } from './input-error.ts';
import type { FormRow, NutrientRow, Tables } from './tables.ts';

export type AmountUnit = 'pct' | 'g' | 'mg' | 'µg' | 'IU';
export type Per = '100g' | 'kg' | 'serving';

/** One line as printed; `form` is the compound the amount is stated in. */
export interface LabelLine {
  readonly nutrient: string;
  readonly amount: number;
  readonly unit: AmountUnit;
  readonly per: Per;
  readonly form?: string | null;
  readonly bound?: 'min' | 'max' | null;
  readonly basis?: 'as_fed' | 'dry_matter' | null;
}

export type ServingUnit =
  'tablet' | 'capsule' | 'ml' | 'scoop' | 'teaspoon' | 'drop' | 'piece' | 'cup' | 'g';

/** A household measure with the mass of one; `count` is how many the label's amounts are for. */
export interface ServingSize {
  readonly unit: ServingUnit;
  readonly mass_g: number;
  readonly count?: number | null;
}

export type LineTables = Pick<Tables, 'nutrients' | 'forms'>;

export interface LineAmounts {
  readonly values: Record<string, number>;
  readonly low: Record<string, number>;
  readonly high: Record<string, number>;
}

export interface Circumstances {
  readonly serving: ServingSize | null;
  /** Dry matter of the food by mass; null when nobody knows it. */
  readonly dry_matter_share: number | null;
}

const UNITS_PER_GRAM: Readonly<Record<string, number>> = { g: 1, mg: 1e3, µg: 1e6 };
/** Labels round each figure, so half a percent too much is still a label and not a slip. */
export const MOST_PCT = 100.5;

/**
 * What the lines say per 100 g as fed: a guaranteed minimum is the least, a maximum the most. Labels
 * print one line for each compound of a nutrient, so lines of the same kind add up.
 */
export function amountsOf(
  tables: LineTables,
  lines: readonly LabelLine[],
  circumstances: Circumstances,
): LineAmounts {
  const found: LineAmounts = { values: {}, low: {}, high: {} };
  const typicalMost: Record<string, number> = {};
  const add = (amounts: Record<string, number>, key: string, amount: number): void => {
    amounts[key] = (amounts[key] ?? 0) + amount;
  };
  for (const line of lines) {
    const { least, most } = linePer100g(tables, line, circumstances);
    if (line.bound === 'min') add(found.low, line.nutrient, least);
    else if (line.bound === 'max') add(found.high, line.nutrient, most);
    else {
      add(found.values, line.nutrient, least);
      add(typicalMost, line.nutrient, most);
    }
  }
  for (const [key, most] of Object.entries(typicalMost)) {
    const least = found.values[key];
    if (least === undefined || most === least) continue;
    found.low[key] = least;
    found.high[key] = most;
  }
  for (const [key, low] of Object.entries(found.low)) {
    const high = found.high[key];
    if (high === undefined || key in found.values) continue;
    if (low > high) {
      throw new InputError(
        `${nameOf(tables, key)}: the minimum is above the maximum. Check the lines.`,
        ['lines'],
      );
    }
    found.values[key] = (low + high) / 2;
  }
  return found;
}

/** The least and the most that one line says, in the nutrient's own unit per 100 g. */
export function linePer100g(
  tables: LineTables,
  line: LabelLine,
  { serving, dry_matter_share }: Circumstances,
): { least: number; most: number } {
  const nutrient = nutrientOf(tables, line);
  const { least, most } = inNutrientUnit(tables, line, nutrient);
  let size = perOf(line, nutrient, serving);
  if (line.basis === 'dry_matter') {
    if (dry_matter_share === null) {
      throw new InputError(
        `${nutrient.name} is printed per dry matter, so the moisture is needed. Type it.`,
        ['moisture_pct'],
      );
    }
    size *= dry_matter_share;
  }
  if (least * size > 100 * (UNITS_PER_GRAM[nutrient.unit] ?? 1)) {
    throw new InputError(
      `${nutrient.name}: ${line.amount} ${line.unit} is more than the food itself weighs. Check the unit and the mass.`,
      ['lines'],
    );
  }
  return { least: least * size, most: most * size };
}

function nameOf(tables: LineTables, key: string): string {
  return tables.nutrients.find((each) => each.key === key)?.name ?? key;
}

function nutrientOf(tables: LineTables, line: LabelLine): NutrientRow {
  const nutrient = tables.nutrients.find((each) => each.key === line.nutrient);
  if (nutrient === undefined) {
    throw new InputError(
      `There is no nutrient called “${line.nutrient}”; choose one of the list.`,
      ['lines'],
    );
  }
  if (!Number.isFinite(line.amount) || line.amount < 0) {
    throw new InputError(
      `${nutrient.name} is ${line.amount} ${line.unit}; it must be zero or more. Check the label.`,
      ['lines'],
    );
  }
  return nutrient;
}

function inNutrientUnit(
  tables: LineTables,
  line: LabelLine,
  nutrient: NutrientRow,
): { least: number; most: number } {
  const form = formOf(tables, line, nutrient);
  const factor = form?.high_factor ?? 1;
  if (line.unit === 'IU') {
    if (form === null || form.per_iu === null) {
      const names = formsOf(tables, nutrient.key)
        .filter((each) => each.per_iu !== null)
        .map((each) => each.name);
      throw new InputError(
        `${nutrient.name}: what an international unit holds depends on the form. ` +
          (names.length > 0 ? `Choose one of ${names.join(', ')}.` : 'Give it in mg or µg.'),
        ['lines'],
      );
    }
    const least = line.amount * form.per_iu;
    return { least, most: least * factor };
  }
  const from = UNITS_PER_GRAM[line.unit === 'pct' ? 'g' : line.unit];
  if (from === undefined) {
    throw new InputError(
      `${nutrient.name}: the unit “${String(line.unit)}” is not known; use %, g, mg, µg or IU.`,
      ['lines'],
    );
  }
  const least = (line.amount / from) * (UNITS_PER_GRAM[nutrient.unit] ?? 1) * (form?.share ?? 1);
  return { least, most: least * factor };
}

/** The forms a nutrient can be stated in. */
export function formsOf(tables: LineTables, nutrient: string): FormRow[] {
  return (tables.forms ?? []).filter((form) => form.nutrient === nutrient);
}

function formOf(tables: LineTables, line: LabelLine, nutrient: NutrientRow): FormRow | null {
  if (line.form == null) return null;
  const forms = formsOf(tables, nutrient.key);
  const form = forms.find((each) => each.key === line.form);
  if (form === undefined) {
    const names = forms.map((each) => each.name).join(', ') || 'no form';
    throw new InputError(`${nutrient.name} has no form called “${line.form}”; use ${names}.`, [
      'lines',
    ]);
  }
  return form;
}

function perOf(line: LabelLine, nutrient: NutrientRow, serving: ServingSize | null): number {
  if (line.unit === 'pct' || line.per === '100g') return 1;
  if (line.per === 'kg') return 0.1;
  const count = serving?.count ?? 1;
  if (serving === null || !(serving.mass_g > 0) || !(count > 0)) {
    throw new InputError(
      `${nutrient.name} is printed per serving, so the mass of one is needed. Weigh ten on a fine scale and divide.`,
      ['serving'],
    );
  }
  return 100 / (serving.mass_g * count);
}
