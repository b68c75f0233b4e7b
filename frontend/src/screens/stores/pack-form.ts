/** The shape of a pack as it is chosen and typed: what its time to thaw goes by. */
import type { Form, Lot } from '../../domain/kinds';
import { kinds } from '../../domain/declared';
import { FORMS } from '../../domain/shapes';
import type { Units } from '../../ui/words';

/** Where a pack lies and what shape it has, as typed. */
export interface PackDraft {
  readonly placeName: string;
  readonly shelf: string;
  readonly form: Form | null;
  readonly thickness: string;
  /** Which units the thickness is typed in. */
  readonly units: Units;
}

export type PackErrors = Readonly<Partial<Record<keyof PackDraft, string>>>;

const FORM_WORDS: Readonly<Record<Form, string>> = {
  block: 'Block',
  flat_bag: 'Flat bag',
  log: 'Log',
  piece: 'Whole piece',
  tray: 'Tray',
};

export const FORM_OPTIONS = FORMS.map((form) => ({ value: form, label: FORM_WORDS[form] }));

/** Exact by definition: the international inch (1959 agreement). */
const MM_PER_INCH = 25.4;

/** What thicknesses are typed in. */
export function thicknessUnit(units: Units): 'mm' | 'in' {
  return units === 'us' ? 'in' : 'mm';
}

/** A thickness as it would be typed, in millimetres or inches with two decimals. */
export function thicknessTyped(thickness_mm: number | null | undefined, units: Units): string {
  if (thickness_mm == null) return '';
  const value = units === 'us' ? thickness_mm / MM_PER_INCH : thickness_mm;
  return String(Number(value.toFixed(units === 'us' ? 2 : 1)));
}

/** "Flat bag, 40 mm thick", "Log, 1.57 in across"; empty when nobody said. */
export function packShapeWords(
  { form, thickness_mm }: Pick<Lot, 'form' | 'thickness_mm'>,
  units: Units,
): string {
  const across = form === 'log' ? 'across' : 'thick';
  const thickness =
    thickness_mm == null
      ? ''
      : `${thicknessTyped(thickness_mm, units)} ${thicknessUnit(units)} ${across}`;
  return [form ? FORM_WORDS[form] : '', thickness].filter((part) => part !== '').join(', ');
}

/** Where a pack lies and its shape, as it would be typed. */
export function packTyped(pack: Partial<PackValues>, units: Units): PackDraft {
  return {
    placeName: pack.place_name ?? '',
    shelf: pack.shelf ?? '',
    form: pack.form ?? null,
    thickness: thicknessTyped(pack.thickness_mm, units),
    units,
  };
}

type PackValues = Pick<Lot, 'place_name' | 'shelf' | 'form' | 'thickness_mm'>;

export type ReadPack =
  | { readonly values: PackValues; readonly errors: PackErrors }
  | { readonly values: null; readonly errors: PackErrors };

/** Reads where a pack lies and its shape. */
export function readPack(draft: PackDraft): ReadPack {
  const { thickness_mm, error } = readThickness(draft.thickness, draft.units);
  if (error !== null) return { values: null, errors: { thickness: error } };
  const textOrNull = (text: string): string | null => (text.trim() === '' ? null : text.trim());
  return {
    values: {
      place_name: textOrNull(draft.placeName),
      shelf: textOrNull(draft.shelf),
      form: draft.form,
      thickness_mm,
    },
    errors: {},
  };
}

const LIMITS = kinds['lot']?.registers['thickness_mm'];
const LEAST_MM = LIMITS?.min ?? 1;
const MOST_MM = LIMITS?.max ?? 500;

export type ReadThickness =
  | { readonly thickness_mm: number | null; readonly error: null }
  | { readonly thickness_mm: null; readonly error: string };

/** Reads a thickness; an empty field is unknown. */
export function readThickness(typed: string, units: Units): ReadThickness {
  const plain = typed.trim().replace(',', '.');
  if (plain === '') return { thickness_mm: null, error: null };
  const unit = thicknessUnit(units);
  const [least, most] = [thicknessTyped(LEAST_MM, units), thicknessTyped(MOST_MM, units)];
  const value = /^\d+(\.\d*)?$|^\.\d+$/.test(plain) ? Number(plain) : Number.NaN;
  const typed_mm = Number((unit === 'in' ? value * MM_PER_INCH : value).toFixed(1));
  const thickness_mm = Math.min(MOST_MM, Math.max(LEAST_MM, typed_mm));
  // A limit is told rounded to hundredths of an inch, and what was told is taken.
  const isTold = value >= Number(least) && value <= Number(most);
  if (isTold || thickness_mm === typed_mm) return { thickness_mm, error: null };
  const error = `“${typed}” is no thickness. Type ${least} to ${most} ${unit}, or leave it empty.`;
  return { thickness_mm: null, error };
}
