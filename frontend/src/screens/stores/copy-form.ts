/** A copy of a table's food as it is typed: a name, and the figures that are the household's own. */
import { hasOwnBone } from '../../domain/copies';
import { InputError } from '../../domain/input-error';
import type { Food } from '../../domain/kinds';
import { composed } from '../../domain/own-foods';
import type { FoodRow, Tables } from '../../domain/tables';
import { readAmount } from '../../ui/amounts';

export interface OwnFigure {
  readonly nutrient: string;
  readonly amount: string;
}

export interface CopyDraft {
  readonly name: string;
  /** Share of bone in per cent, of a cut with bone. */
  readonly bone: string;
  /** kcal per 100 g. */
  readonly energy: string;
  readonly own: readonly OwnFigure[];
  readonly note: string;
}

export type CopyErrors = Readonly<Partial<Record<'name' | 'bone' | 'energy' | 'own', string>>>;

export type ReadCopy =
  | { readonly values: Food; readonly errors: null }
  | { readonly values: null; readonly errors: CopyErrors };

export function newCopy(base: FoodRow): CopyDraft {
  return { name: `${base.name}, ours`.slice(0, 60), bone: '', energy: '', own: [], note: '' };
}

export function copyTyped(food: Food): CopyDraft {
  return {
    name: food.name,
    bone: food.bone_share_pct == null ? '' : String(food.bone_share_pct),
    energy: food.energy_kcal_per_100g == null ? '' : String(food.energy_kcal_per_100g),
    own: Object.entries(food.nutrients_per_100g ?? {}).map(([nutrient, amount]) => ({
      nutrient,
      amount: String(amount),
    })),
    note: food.note ?? '',
  };
}

/** Whether a table's food has a share of bone that a household may set. */
export function canSetBone(tables: Tables, base: FoodRow): boolean {
  return base.bone_share !== null && hasOwnBone(tables, base.key);
}

const NO_NUMBER = (text: string): string => `“${text}” is no number, such as 24 or 8.5.`;

/** Reads the form of a copy of a table's food. */
export function readCopy(draft: CopyDraft, base: FoodRow, tables: Tables): ReadCopy {
  const errors: Partial<Record<'name' | 'bone' | 'energy' | 'own', string>> = {};
  const read = (key: 'bone' | 'energy', text: string): number | null => {
    const amount = readAmount(text);
    if (amount === null && text.trim() !== '') errors[key] = NO_NUMBER(text);
    return amount;
  };
  const bone_share_pct = read('bone', draft.bone);
  const energy_kcal_per_100g = read('energy', draft.energy);
  const own: Record<string, number> = {};
  for (const { nutrient, amount } of draft.own) {
    const value = readAmount(amount);
    if (value === null) errors.own = 'Each figure of your own needs an amount, or take it out.';
    else own[nutrient] = value;
  }
  if (draft.name.trim() === '') errors.name = 'What do you call it?';
  if (bone_share_pct === null && energy_kcal_per_100g === null && draft.own.length === 0) {
    errors.own ??= 'Change at least one figure; otherwise use the food of the table itself.';
  }
  const values: Food = {
    name: draft.name.trim(),
    style: base.style,
    copied_from: base.key,
    nutrients_per_100g: Object.keys(own).length > 0 ? own : null,
    energy_kcal_per_100g,
    bone_share_pct,
    note: draft.note.trim() === '' ? null : draft.note.trim(),
  };
  if (Object.keys(errors).length > 0) return { values: null, errors };
  const wrong = wholeError(values, tables);
  return wrong === null ? { values, errors: null } : { values: null, errors: wrong };
}

function wholeError(values: Food, tables: Tables): CopyErrors | null {
  try {
    composed(tables, values, 'draft');
    return null;
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    const [field] = error.fields;
    if (field === 'bone_share_pct') return { bone: error.message };
    return field === 'energy_kcal_per_100g' ? { energy: error.message } : { own: error.message };
  }
}
