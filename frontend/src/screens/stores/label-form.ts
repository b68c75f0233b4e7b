/** A food of the household's own as it is typed from its label. */
import {
  labelEnergies as energiesOf,
  type EnergyMethod,
  type LabelEnergies,
} from '../../domain/label-energy';
import type { LabelLine } from '../../domain/label-lines';
import { analysisOf, asFed, type Label, type LabelStyle } from '../../domain/labels';
import { InputError } from '../../domain/input-error';
import type { Food } from '../../domain/kinds';
import { composed } from '../../domain/own-foods';
import type { Tables } from '../../domain/tables';
import { readAmount } from '../../ui/amounts';
import { linesTyped, readLines, type LineDraft, type LineErrors } from './lines-form';

/** In the order most labels print them. */
export const LABEL_PARTS = [
  ['protein', 'Protein'],
  ['fat', 'Fat'],
  ['fibre', 'Fibre'],
  ['moisture', 'Moisture'],
  ['ash', 'Ash'],
] as const;

export type LabelPart = (typeof LABEL_PARTS)[number][0];
export type EnergyPer = '100g' | 'kg' | 'cup';

export interface FoodDraft {
  readonly name: string;
  readonly style: LabelStyle;
  readonly parts: Readonly<Record<LabelPart, string>>;
  /** Whether the label says min and max, or gives what is in it. */
  readonly means: 'typical' | 'guaranteed';
  readonly basis: 'as_fed' | 'dry_matter';
  /** kcal as printed, per what `energyPer` says. */
  readonly energy: string;
  readonly energyPer: EnergyPer;
  /** What one cup weighs, in grams. */
  readonly cup: string;
  readonly lines: readonly LineDraft[];
  readonly linesBasis: 'as_fed' | 'dry_matter';
  readonly note: string;
}

export type FoodErrors = Readonly<
  Partial<Record<LabelPart | 'name' | 'energy' | 'cup' | 'more', string>>
> & { readonly lines?: LineErrors };

export type ReadFood =
  | { readonly values: Food; readonly errors: null }
  | { readonly values: null; readonly errors: FoodErrors };

export const emptyFood: FoodDraft = {
  name: '',
  style: 'dry',
  parts: { protein: '', fat: '', fibre: '', moisture: '', ash: '' },
  means: 'typical',
  basis: 'as_fed',
  energy: '',
  energyPer: '100g',
  cup: '',
  lines: [],
  linesBasis: 'as_fed',
  note: '',
};

function typed(value: number | null | undefined): string {
  return value == null ? '' : String(value);
}

/** Amounts of an older record, per 100 g in the nutrient's own unit, as lines. */
function olderLines(food: Food, tables: Tables | null): LabelLine[] {
  return Object.entries(food.nutrients_per_100g ?? {}).map(([nutrient, amount]) => ({
    nutrient,
    amount,
    unit: tables?.nutrients.find((each) => each.key === nutrient)?.unit ?? 'mg',
    per: '100g',
  }));
}

/** A food as it would be typed. */
export function foodTyped(food: Food, tables: Tables | null): FoodDraft {
  const label = food.label;
  const lines = food.lines ?? [];
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
    means: label?.means ?? 'typical',
    basis: label?.basis ?? 'as_fed',
    energy: typed(food.energy_kcal_per_100g),
    energyPer: '100g',
    cup: food.serving?.unit === 'cup' ? typed(food.serving.mass_g) : '',
    lines: linesTyped([...olderLines(food, tables), ...lines]),
    linesBasis: lines.some((line) => line.basis === 'dry_matter') ? 'dry_matter' : 'as_fed',
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
  readonly cup: number | null;
  readonly errors: FoodErrors;
}

const NO_NUMBER = (text: string): string =>
  `“${text}” is no number. Type it as printed, such as 24 or 8.5.`;
const NEEDED = 'Every label prints it: type it as printed.';

function numbersOf(draft: FoodDraft): Numbers {
  const errors: Partial<Record<LabelPart | 'energy' | 'cup', string>> = {};
  const read = (key: LabelPart | 'energy' | 'cup', text: string): number | null => {
    const amount = amountIn(text);
    if (amount === undefined) errors[key] = NO_NUMBER(text);
    return amount ?? null;
  };
  const parts = Object.fromEntries(
    LABEL_PARTS.map(([part]) => [part, read(part, draft.parts[part])]),
  ) as Record<LabelPart, number | null>;
  if (parts.protein === null) errors.protein ??= NEEDED;
  if (parts.fat === null) errors.fat ??= NEEDED;
  const cup = read('cup', draft.cup);
  const printed = read('energy', draft.energy);
  if (printed !== null && draft.energyPer === 'cup' && cup === null) {
    errors.cup ??= 'The energy is per cup, so a cup has to be weighed: type its grams.';
  }
  return { parts, energy: perHundred(printed, draft.energyPer, cup), cup, errors };
}

function perHundred(kcal: number | null, per: EnergyPer, cup_g: number | null): number | null {
  if (kcal === null || per === '100g') return kcal;
  if (per === 'kg') return kcal / 10;
  return cup_g === null || cup_g <= 0 ? null : Math.round((kcal / cup_g) * 1000) / 10;
}

/** The label of a draft; null while protein or fat cannot be read. */
export function labelOf(draft: FoodDraft): Label | null {
  const { parts, energy } = numbersOf(draft);
  if (parts.protein === null || parts.fat === null) return null;
  return {
    protein_pct: parts.protein,
    fat_pct: parts.fat,
    fibre_pct: parts.fibre,
    moisture_pct: parts.moisture,
    ash_pct: parts.ash,
    means: draft.means,
    basis: draft.basis,
    energy_kcal_per_100g: energy,
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
  lines: 'more',
};

/** What is wrong with the food as a whole, by field. */
function wholeErrors(values: Food, tables: Tables): FoodErrors {
  try {
    composed(tables, values, 'draft');
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
  const { lines, errors: lineErrors } = readLines(draft.lines, draft.linesBasis);
  const { energy_kcal_per_100g: _energy, ...printed } = label ?? {};
  const values: Food = {
    name: draft.name.trim(),
    style: draft.style,
    label: label === null ? null : (printed as NonNullable<Food['label']>),
    energy_kcal_per_100g: numbers.energy,
    lines: lines.length > 0 ? [...lines] : null,
    serving: numbers.cup === null ? null : { unit: 'cup', mass_g: numbers.cup, count: null },
    // Older records kept amounts here; they are among the lines now.
    nutrients_per_100g: null,
    note: draft.note.trim() === '' ? null : draft.note.trim(),
  };
  const errors: FoodErrors = {
    ...(label && tables ? wholeErrors(values, tables) : {}),
    ...(values.name === '' ? { name: 'What is it called? As on the bag will do.' } : {}),
    ...numbers.errors,
    ...(Object.keys(lineErrors).length > 0 ? { lines: lineErrors } : {}),
  };
  return label === null || Object.keys(errors).length > 0
    ? { values: null, errors }
    : { values, errors: null };
}

/** The energies of a draft, with the one in use and why; null while it cannot be read. */
export function labelEnergies(draft: FoodDraft, tables: Tables | null): LabelEnergies | null {
  const label = labelOf(draft);
  if (label === null || tables === null) return null;
  try {
    const fed = asFed(tables.energy, label, draft.style);
    return energiesOf(tables.energy, analysisOf(tables.energy, fed, draft.style), {
      printed_kcal: label.energy_kcal_per_100g ?? null,
      style: draft.style,
    });
  } catch (error) {
    if (error instanceof InputError) return null;
    throw error;
  }
}

export interface EnergyLine {
  readonly method: EnergyMethod;
  readonly words: string;
  readonly kcal_per_100g: number;
  readonly isUsed: boolean;
}

const METHOD_WORDS: Readonly<Record<EnergyMethod, string>> = {
  label: 'As printed',
  four_step: 'NRC 2006, in four steps',
  modified_atwater: 'Modified Atwater, 3.5, 8.5 and 3.5',
  atwater: 'Atwater, 4, 9 and 4',
};
const ORDER: readonly EnergyMethod[] = ['label', 'four_step', 'modified_atwater', 'atwater'];

/** The energies as lines: always both equations, Atwater only where it is the one in use. */
export function energyLines(energies: LabelEnergies): EnergyLine[] {
  return ORDER.flatMap((method): EnergyLine[] => {
    const kcal = energies.by_method[method];
    const isUsed = method === energies.method;
    if (kcal === undefined || (method === 'atwater' && !isUsed)) return [];
    return [{ method, words: METHOD_WORDS[method], kcal_per_100g: kcal, isUsed }];
  });
}

const WHY: Readonly<Record<LabelEnergies['why'], string>> = {
  printed: 'The label’s own figure is used: its maker knows what is in it.',
  prepared: 'The four steps are used: they were made for prepared dog food, dry or in a tin.',
  fibrous:
    'Modified Atwater is used: with so much fibre (over 8 % of the dry matter) the four steps run low.',
  fresh: 'Atwater’s factors are used: they are for fresh meat and home-cooked food.',
};

/** Which figure is used, and why. */
export function whyWords(energies: LabelEnergies): string {
  return WHY[energies.why];
}

const PART_WORDS: Readonly<Record<string, (tables: Tables, isDry: boolean) => string>> = {
  fibre_pct: ({ energy }) => `fibre ${energy.food.fibre_missing_pct} %`,
  moisture_pct: ({ energy }) => `moisture ${energy.food.moisture_dry_pct} %`,
  ash_pct: ({ energy }, isDry) =>
    `ash ${isDry ? energy.food.ash_dry_pct : energy.food.ash_moist_pct} %`,
};

/** What the label does not print and had to be assumed, in words. */
export function assumed(draft: FoodDraft, tables: Tables | null): string[] {
  const energies = labelEnergies(draft, tables);
  if (tables === null || energies === null) return [];
  const isDry = draft.style === 'dry' || draft.style === 'treat' || draft.energy.trim() !== '';
  return energies.assumed.flatMap((name) => PART_WORDS[name]?.(tables, isDry) ?? []);
}
