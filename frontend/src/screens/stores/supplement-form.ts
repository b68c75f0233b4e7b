/** A supplement as it is typed from its label: what one tablet, capsule or ml holds. */
import { InputError } from '../../domain/input-error';
import type { Food, ServingUnit } from '../../domain/kinds';
import { composed } from '../../domain/own-foods';
import type { CautionRow, FoodRow, Tables } from '../../domain/tables';
import { readAmount } from '../../ui/amounts';
import { linesTyped, readLines, type LineDraft, type LineErrors } from './lines-form';

export interface SupplementDraft {
  readonly name: string;
  readonly unit: ServingUnit;
  /** Grams of one, as typed. */
  readonly mass: string;
  /** How many the label's amounts are for. */
  readonly count: string;
  readonly lines: readonly LineDraft[];
  /** kcal per 100 g, where printed. */
  readonly energy: string;
  readonly note: string;
}

export type SupplementErrors = Readonly<
  Partial<Record<'name' | 'mass' | 'count' | 'energy' | 'more', string>>
> & { readonly lines?: LineErrors };

export type ReadSupplement =
  | { readonly values: Food; readonly errors: null }
  | { readonly values: null; readonly errors: SupplementErrors };

export const UNITS: readonly { value: ServingUnit; label: string }[] = [
  { value: 'tablet', label: 'Tablets' },
  { value: 'capsule', label: 'Capsules' },
  { value: 'ml', label: 'Millilitres' },
  { value: 'scoop', label: 'Scoops' },
  { value: 'teaspoon', label: 'Teaspoons' },
  { value: 'drop', label: 'Drops' },
  { value: 'g', label: 'Grams' },
];

export const emptySupplement: SupplementDraft = {
  name: '',
  unit: 'tablet',
  mass: '',
  count: '1',
  lines: [],
  energy: '',
  note: '',
};

/** "tablet", "gram": one of what it is given in. */
export function oneOf(unit: ServingUnit): string {
  return unit === 'g' ? 'gram' : unit;
}

export function supplementTyped(food: Food): SupplementDraft {
  const { serving } = food;
  return {
    name: food.name,
    unit: serving?.unit ?? 'tablet',
    mass: serving == null || serving.unit === 'g' ? '' : String(serving.mass_g),
    count: String(serving?.count ?? 1),
    lines: linesTyped(food.lines),
    energy: food.energy_kcal_per_100g == null ? '' : String(food.energy_kcal_per_100g),
    note: food.note ?? '',
  };
}

interface Numbers {
  readonly mass_g: number | null;
  readonly count: number;
  readonly energy: number | null;
  readonly errors: SupplementErrors;
}

function numbersOf(draft: SupplementDraft): Numbers {
  const errors: Partial<Record<'mass' | 'count' | 'energy', string>> = {};
  const mass_g = draft.unit === 'g' ? 1 : readAmount(draft.mass);
  if (mass_g === null || mass_g <= 0) {
    errors.mass = `Amounts are fed as grams, so one ${oneOf(draft.unit)} has to be weighed: weigh ten and divide.`;
  }
  const count = draft.count.trim() === '' ? 1 : readAmount(draft.count);
  if (count === null || count <= 0) errors.count = `“${draft.count}” is no number. Mostly it is 1.`;
  const energy = draft.energy.trim() === '' ? null : readAmount(draft.energy);
  if (energy === null && draft.energy.trim() !== '') {
    errors.energy = `“${draft.energy}” is no number. Type it as printed, or leave it empty.`;
  }
  return { mass_g, count: count ?? 1, energy, errors };
}

function valuesOf(draft: SupplementDraft, numbers: Numbers): Food {
  const { lines } = readLines(draft.lines);
  return {
    name: draft.name.trim(),
    style: 'dry',
    label: null,
    nutrients_per_100g: null,
    energy_kcal_per_100g: numbers.energy,
    lines: [...lines],
    serving: { unit: draft.unit, mass_g: numbers.mass_g ?? 0, count: numbers.count },
    note: draft.note.trim() === '' ? null : draft.note.trim(),
  };
}

/** Reads the form; without tables it is checked when it is first used. */
export function readSupplement(draft: SupplementDraft, tables: Tables | null): ReadSupplement {
  const numbers = numbersOf(draft);
  const { errors: lineErrors } = readLines(draft.lines);
  const values = valuesOf(draft, numbers);
  const errors: SupplementErrors = {
    ...(values.name === '' ? { name: 'What is it called? As on the pack will do.' } : {}),
    ...(draft.lines.length === 0 ? { more: 'Type at least one line of the label.' } : {}),
    ...numbers.errors,
    ...(Object.keys(lineErrors).length > 0 ? { lines: lineErrors } : {}),
  };
  if (Object.keys(errors).length > 0) return { values: null, errors };
  const wrong = tables === null ? null : wholeError(values, tables);
  return wrong === null ? { values, errors: null } : { values: null, errors: wrong };
}

function wholeError(values: Food, tables: Tables): SupplementErrors | null {
  try {
    composed(tables, values, 'draft');
    return null;
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    return error.fields[0] === 'energy_kcal_per_100g'
      ? { energy: error.message }
      : { more: error.message };
  }
}

/** The supplement as it would count; null while it cannot be read. */
export function supplementRow(draft: SupplementDraft, tables: Tables | null): FoodRow | null {
  const read = readSupplement({ ...draft, name: draft.name.trim() || 'It' }, tables);
  return read.values === null || tables === null ? null : composed(tables, read.values, 'draft');
}

/** Cautions about what it lists, gravest named nutrients first, in the order of the table. */
export function cautionsFor(
  tables: Pick<Tables, 'cautions'> | null,
  nutrients: readonly string[],
): CautionRow[] {
  const moments = new Set(['supplement', ...nutrients.map((key) => `supplement_${key}`)]);
  return (tables?.cautions ?? []).filter((caution) => moments.has(caution.moment));
}
