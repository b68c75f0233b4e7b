/** A food of the household's own as it is typed from its label. */
import { completeLabel, foodFromLabel, type Label, type LabelStyle } from '../../domain/labels';
import { fourStep, modifiedAtwater } from '../../domain/food-energy';
import { InputError } from '../../domain/input-error';
import type { Food } from '../../domain/kinds';
import type { Tables } from '../../domain/tables';
import { readAmount } from '../../ui/amounts';

export const LABEL_PARTS = [
  ['protein', 'Protein'],
  ['fat', 'Fat'],
  ['fibre', 'Fibre'],
  ['moisture', 'Moisture'],
  ['ash', 'Ash'],
] as const;

export type LabelPart = (typeof LABEL_PARTS)[number][0];

export interface FoodDraft {
  readonly name: string;
  readonly style: LabelStyle;
  readonly parts: Readonly<Record<LabelPart, string>>;
  /** kcal per 100 g, as printed. */
  readonly energy: string;
  /** Further nutrients, each with the amount per 100 g as typed. */
  readonly more: readonly { readonly nutrient: string; readonly amount: string }[];
  readonly note: string;
}

export type FoodErrors = Readonly<Partial<Record<LabelPart | 'name' | 'energy' | 'more', string>>>;

export type ReadFood =
  | { readonly values: Food; readonly errors: null }
  | { readonly values: null; readonly errors: FoodErrors };

export const emptyFood: FoodDraft = {
  name: '',
  style: 'dry',
  parts: { protein: '', fat: '', fibre: '', moisture: '', ash: '' },
  energy: '',
  more: [],
  note: '',
};

function typed(value: number | null | undefined): string {
  return value == null ? '' : String(value);
}

/** A food as it would be typed. */
export function foodTyped(food: Food): FoodDraft {
  const label = food.label;
  return {
    name: food.name,
    style: food.style ?? 'dry',
    parts: {
      protein: typed(label?.protein_pct),
      fat: typed(label?.fat_pct),
      fibre: typed(label?.fibre_pct),
      moisture: typed(label?.moisture_pct),
      ash: typed(label?.ash_pct),
    },
    energy: typed(food.energy_kcal_per_100g),
    more: Object.entries(food.nutrients_per_100g ?? {}).map(([nutrient, amount]) => ({
      nutrient,
      amount: String(amount),
    })),
    note: food.note ?? '',
  };
}

/** The number in a field; null when it is empty, undefined when it is none. */
function amountIn(text: string): number | null | undefined {
  if (text.trim() === '') return null;
  return readAmount(text) ?? undefined;
}

interface Numbers {
  readonly parts: Readonly<Record<LabelPart, number | null>>;
  readonly energy: number | null;
  readonly more: Readonly<Record<string, number>>;
  readonly errors: FoodErrors;
}

const NO_NUMBER = (text: string): string =>
  `“${text}” is no number. Type it as printed, such as 24 or 8.5.`;

function numbersOf(draft: FoodDraft): Numbers {
  const errors: Partial<Record<keyof FoodErrors, string>> = {};
  const parts = { protein: null, fat: null, fibre: null, moisture: null, ash: null } as Record<
    LabelPart,
    number | null
  >;
  for (const [part] of LABEL_PARTS) {
    const amount = amountIn(draft.parts[part]);
    if (amount === undefined) errors[part] = NO_NUMBER(draft.parts[part]);
    else parts[part] = amount;
  }
  if (parts.protein === null) errors.protein ??= 'Every label prints it: type it as printed.';
  if (parts.fat === null) errors.fat ??= 'Every label prints it: type it as printed.';
  const energy = amountIn(draft.energy);
  if (energy === undefined) errors.energy = NO_NUMBER(draft.energy);
  const more: Record<string, number> = {};
  for (const { nutrient, amount } of draft.more) {
    const value = amountIn(amount);
    if (value == null) errors.more = 'Each further nutrient needs an amount, or take it out.';
    else more[nutrient] = value;
  }
  return { parts, energy: energy ?? null, more, errors };
}

/** The label of a draft; null while protein or fat cannot be read. */
export function labelOf(draft: FoodDraft): Label | null {
  const { parts, energy, more } = numbersOf(draft);
  if (parts.protein === null || parts.fat === null) return null;
  return {
    protein_pct: parts.protein,
    fat_pct: parts.fat,
    fibre_pct: parts.fibre,
    moisture_pct: parts.moisture,
    ash_pct: parts.ash,
    energy_kcal_per_100g: energy,
    nutrients_per_100g: more,
  };
}

const FIELD_OF: Readonly<Record<string, keyof FoodErrors>> = {
  protein_pct: 'protein',
  fat_pct: 'fat',
  fibre_pct: 'fibre',
  moisture_pct: 'moisture',
  ash_pct: 'ash',
  energy_kcal_per_100g: 'energy',
  nutrients_per_100g: 'more',
};

/** What is wrong with the label as a whole, by field. */
function labelErrors(draft: FoodDraft, label: Label, tables: Tables): FoodErrors {
  try {
    foodFromLabel(tables, label, { key: 'draft', name: draft.name, style: draft.style });
    return {};
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    const field = FIELD_OF[error.fields[0] ?? ''] ?? 'protein';
    return { [field]: error.message };
  }
}

/** Reads the form; without tables the label is checked when it is first used. */
export function readFood(draft: FoodDraft, tables: Tables | null): ReadFood {
  const numbers = numbersOf(draft);
  const label = labelOf(draft);
  const errors: FoodErrors = {
    ...(draft.name.trim() === '' ? { name: 'What is it called? As on the bag will do.' } : {}),
    ...(label && tables ? labelErrors(draft, label, tables) : {}),
    ...numbers.errors,
  };
  if (label === null || Object.keys(errors).length > 0) return { values: null, errors };
  return {
    values: {
      name: draft.name.trim(),
      style: draft.style,
      label: {
        protein_pct: label.protein_pct,
        fat_pct: label.fat_pct,
        fibre_pct: label.fibre_pct ?? null,
        moisture_pct: label.moisture_pct ?? null,
        ash_pct: label.ash_pct ?? null,
      },
      energy_kcal_per_100g: numbers.energy,
      nutrients_per_100g: Object.keys(numbers.more).length > 0 ? { ...numbers.more } : null,
      note: draft.note.trim() === '' ? null : draft.note.trim(),
    },
    errors: null,
  };
}

export interface LabelEnergy {
  readonly key: 'label' | 'four_step' | 'modified_atwater';
  readonly method: string;
  readonly kcal_per_100g: number;
}

/**
 * The energy of a label by every method that fits it, the label's own figure first. Empty when the
 * label cannot be read yet.
 */
export function labelEnergies(draft: FoodDraft, tables: Tables | null): LabelEnergy[] {
  const label = labelOf(draft);
  if (label === null || tables === null) return [];
  const isDry = draft.style === 'dry' || draft.style === 'treat';
  const printed = label.energy_kcal_per_100g ?? null;
  const own: LabelEnergy[] =
    printed === null ? [] : [{ key: 'label', method: 'As printed', kcal_per_100g: printed }];
  try {
    const whole = completeLabel(tables.energy, label, isDry);
    return [
      ...own,
      {
        key: 'four_step',
        method: 'NRC 2006, in four steps',
        kcal_per_100g: fourStep(tables.energy, whole),
      },
      {
        key: 'modified_atwater',
        method: 'Modified Atwater, 3.5, 8.5 and 3.5',
        kcal_per_100g: modifiedAtwater(tables.energy, whole),
      },
    ];
  } catch (error) {
    if (error instanceof InputError) return own;
    throw error;
  }
}

/** What the label does not print and had to be assumed, in words. */
export function assumed(draft: FoodDraft, tables: Tables | null): string[] {
  if (tables === null) return [];
  const { food } = tables.energy;
  const isDry = draft.style === 'dry' || draft.style === 'treat';
  const missing: string[] = [];
  if (draft.parts.fibre.trim() === '') missing.push(`fibre ${food.fibre_missing_pct} %`);
  if (draft.parts.moisture.trim() === '' && isDry) {
    missing.push(`moisture ${food.moisture_dry_pct} %`);
  }
  if (draft.parts.ash.trim() === '') {
    missing.push(`ash ${isDry ? food.ash_dry_pct : food.ash_moist_pct} %`);
  }
  return missing;
}
