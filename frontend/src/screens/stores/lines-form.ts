/** The lines of a label as they are typed: a nutrient, an amount, a unit, and the form it is in. */
import { formsOf, type AmountUnit, type LabelLine, type Per } from '../../domain/label-lines';
import type { NutrientRow, Tables } from '../../domain/tables';
import { readAmount } from '../../ui/amounts';

export interface LineDraft {
  /** Tells two lines of one nutrient apart while they are typed. */
  readonly id: number;
  readonly nutrient: string;
  readonly amount: string;
  /** Unit and what it is per: "mg/kg", "IU/serving". */
  readonly unit: string;
  /** Key of the form, or nothing for the nutrient itself. */
  readonly form: string;
  readonly bound: '' | 'min' | 'max';
}

export type LineErrors = Readonly<Record<number, string>>;

export interface ReadLines {
  readonly lines: readonly LabelLine[];
  readonly errors: LineErrors;
}

const UNIT_WORDS: Readonly<Record<AmountUnit, string>> = {
  pct: '%',
  g: 'g',
  mg: 'mg',
  µg: 'µg',
  IU: 'IU',
};
const PER_WORDS: Readonly<Record<Per, string>> = {
  kg: ' per kg',
  '100g': ' per 100 g',
  serving: '',
};

const FOOD_UNITS: readonly string[] = [
  'pct/100g',
  'g/kg',
  'mg/kg',
  'µg/kg',
  'IU/kg',
  'g/100g',
  'mg/100g',
  'µg/100g',
  'IU/100g',
];
const SERVING_UNITS: readonly string[] = ['mg/serving', 'µg/serving', 'g/serving', 'IU/serving'];

/** In the order of a label: what most labels print comes first. */
const FIRST: readonly string[] = [
  'calcium',
  'phosphorus',
  'sodium',
  'potassium',
  'magnesium',
  'chloride',
  'epa_dha',
  'alpha_linolenic',
  'linoleic',
  'iron',
  'copper',
  'zinc',
  'manganese',
  'selenium',
  'iodine',
  'vitamin_a',
  'vitamin_d',
  'vitamin_e',
];
/** The label's own five, and carbohydrate, which follows from them. */
const CONTENTS = new Set(['water', 'protein', 'fat', 'carbohydrate', 'fibre', 'ash']);
/** What is labelled in international units as often as not. */
const IN_IU = new Set(['vitamin_a', 'vitamin_d', 'vitamin_e']);

function split(unit: string): { unit: AmountUnit; per: Per } {
  const [first, second] = unit.split('/') as [AmountUnit, Per];
  return { unit: first, per: second };
}

export function unitWords(unit: string): string {
  const { unit: amount, per } = split(unit);
  return amount === 'pct' ? '%' : `${UNIT_WORDS[amount]}${PER_WORDS[per]}`;
}

/** What can be chosen for a nutrient: an international unit only where one is defined. */
export function unitOptions(
  tables: Tables | null,
  nutrient: string,
  isServing: boolean,
): { value: string; label: string }[] {
  const hasIU = tables !== null && formsOf(tables, nutrient).some((form) => form.per_iu !== null);
  return (isServing ? SERVING_UNITS : FOOD_UNITS)
    .filter((unit) => hasIU || !unit.startsWith('IU'))
    .map((value) => ({ value, label: unitWords(value) }));
}

/** The forms a nutrient comes in; the nutrient itself first, unless the unit asks for a form. */
export function formOptions(
  tables: Tables | null,
  line: Pick<LineDraft, 'nutrient' | 'unit'>,
): { value: string; label: string }[] {
  const forms = tables === null ? [] : formsOf(tables, line.nutrient);
  const isIU = line.unit.startsWith('IU');
  const known = forms.filter((form) => !isIU || form.per_iu !== null);
  const none = isIU ? 'Which form is it?' : 'As the nutrient itself (elemental)';
  return known.length === 0
    ? []
    : [{ value: '', label: none }, ...known.map((form) => ({ value: form.key, label: form.name }))];
}

function usualUnit(nutrient: NutrientRow, isServing: boolean): string {
  if (IN_IU.has(nutrient.key)) return isServing ? 'IU/serving' : 'IU/kg';
  if (isServing) return nutrient.unit === 'µg' ? 'µg/serving' : 'mg/serving';
  const isMajor = nutrient.unit === 'g' || nutrient.group === 'minerals';
  return isMajor ? 'pct/100g' : 'mg/kg';
}

let lastId = 0;

/** A new line for a nutrient, in the unit that labels usually print it in. */
export function newLine(
  tables: Tables,
  nutrient: string,
  options: { isServing: boolean; bound?: 'min' | '' },
): LineDraft {
  const row = tables.nutrients.find((each) => each.key === nutrient);
  lastId += 1;
  return {
    id: lastId,
    nutrient,
    amount: '',
    unit: row ? usualUnit(row, options.isServing) : 'mg/kg',
    // There are two forms of vitamin D and both count the same, so the usual one is filled in.
    form: nutrient === 'vitamin_d' ? 'cholecalciferol' : '',
    bound: options.bound ?? '',
  };
}

/** What a line can be added for. A supplement may list its fat and protein as well. */
export function lineOptions(
  tables: Tables | null,
  isServing: boolean,
): { value: string; label: string }[] {
  const nutrients = (tables?.nutrients ?? []).filter(({ key }) => isServing || !CONTENTS.has(key));
  const place = (key: string): number => {
    const at = FIRST.indexOf(key);
    return at < 0 ? FIRST.length : at;
  };
  return [...nutrients]
    .sort((a, b) => place(a.key) - place(b.key))
    .map(({ key, name }) => ({ value: key, label: name }));
}

/** Lines of a record as they would be typed. */
export function linesTyped(lines: readonly LabelLine[] | null | undefined): LineDraft[] {
  return (lines ?? []).map((line) => {
    lastId += 1;
    return {
      id: lastId,
      nutrient: line.nutrient,
      amount: String(line.amount),
      unit: line.unit === 'pct' ? 'pct/100g' : `${line.unit}/${line.per}`,
      form: line.form ?? '',
      bound: line.bound ?? '',
    };
  });
}

/** Reads the lines; an amount that is no number, or an IU without its form, is said at its line. */
export function readLines(
  drafts: readonly LineDraft[],
  basis: 'as_fed' | 'dry_matter' = 'as_fed',
): ReadLines {
  const errors: Record<number, string> = {};
  const lines = drafts.flatMap((draft): LabelLine[] => {
    const amount = readAmount(draft.amount);
    if (amount === null) {
      errors[draft.id] =
        draft.amount.trim() === ''
          ? 'Type the amount, or take the line out.'
          : `“${draft.amount}” is no number. Type it as printed, such as 1.2 or 150.`;
      return [];
    }
    const { unit, per } = split(draft.unit);
    if (unit === 'IU' && draft.form === '') {
      errors[draft.id] = 'What an IU holds depends on the form. The label names it: choose it.';
      return [];
    }
    return [
      {
        nutrient: draft.nutrient,
        amount,
        unit,
        per,
        form: draft.form === '' ? null : draft.form,
        bound: draft.bound === '' ? null : draft.bound,
        basis: basis === 'dry_matter' && per !== 'serving' ? basis : null,
      },
    ];
  });
  return { lines, errors };
}
