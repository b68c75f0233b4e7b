/** A lot as it is typed: text until it is read, with an answer for everything that cannot be read. */
import type { Lot, Place } from '../../domain/kinds';
import type { Units } from '../../ui/words';
import { massTyped, massUnits, typedMass_g, type MassUnit } from './masses';

export interface LotDraft {
  readonly packs: number;
  readonly pack: string;
  readonly unit: MassUnit;
  readonly place: Place;
  readonly placeName: string;
  readonly frozenOn: string;
  readonly boughtOn: string;
  readonly bestBy: string;
  readonly price: string;
  readonly currency: string;
  readonly seller: string;
  readonly note: string;
}

export type LotErrors = Readonly<Partial<Record<keyof LotDraft, string>>>;

export type ReadLot =
  | { readonly values: Omit<Lot, 'food'>; readonly errors: null }
  | { readonly values: null; readonly errors: LotErrors };

/** The heaviest pack and the most packs one entry takes. */
export const MOST_PACK_G = 50_000;
export const MOST_PACKS = 200;

/** What stands in the form before anything is typed. */
export function emptyLot(units: Units, today: string): LotDraft {
  return {
    packs: 1,
    pack: '',
    unit: massUnits(units)[0] ?? 'kg',
    place: 'freezer',
    placeName: '',
    frozenOn: today,
    boughtOn: '',
    bestBy: '',
    price: '',
    currency: units === 'us' ? 'USD' : 'EUR',
    seller: '',
    note: '',
  };
}

/** A lot in store as it would be typed. */
export function lotTyped(lot: Lot, units: Units): LotDraft {
  const unit = massUnits(units)[0] ?? 'kg';
  return {
    packs: 1,
    pack: massTyped(lot.pack_mass_g, unit),
    unit,
    place: lot.place ?? 'freezer',
    placeName: lot.place_name ?? '',
    frozenOn: lot.frozen_on ?? '',
    boughtOn: lot.bought_on ?? '',
    bestBy: lot.best_by ?? '',
    price: lot.price ? priceTyped(lot.price.minor) : '',
    currency: lot.price?.currency ?? (units === 'us' ? 'USD' : 'EUR'),
    seller: lot.seller ?? '',
    note: lot.note ?? '',
  };
}

/** "12.50" for 1250 hundredths. */
export function priceTyped(minor: number): string {
  return (minor / 100).toFixed(2);
}

function readPrice(draft: LotDraft): Lot['price'] | undefined {
  if (draft.price.trim() === '') return null;
  const plain = draft.price.trim().replace(',', '.');
  if (!/^\d+(\.\d{0,2})?$/.test(plain)) return undefined;
  return { minor: Math.round(Number(plain) * 100), currency: draft.currency.toUpperCase() };
}

function errorsOf(draft: LotDraft, pack_mass_g: number | null): LotErrors {
  const errors: Partial<Record<keyof LotDraft, string>> = {};
  if (pack_mass_g === null) {
    errors.pack = `“${draft.pack}” is no mass. Type what one pack weighs, such as 1 or 0.62.`;
  } else if (pack_mass_g > MOST_PACK_G) {
    errors.pack = 'One pack may weigh 50 kg at most. Is the unit right?';
  }
  if (readPrice(draft) === undefined) {
    errors.price = `“${draft.price}” is no price. Type it like 12.50, or leave it empty.`;
  }
  if (draft.price.trim() !== '' && !/^[A-Za-z]{3}$/.test(draft.currency)) {
    errors.currency = 'A currency has three letters, such as EUR, GBP or USD.';
  }
  return errors;
}

/** Reads the form. */
export function readLot(draft: LotDraft): ReadLot {
  const pack_mass_g = typedMass_g(draft.pack, draft.unit);
  const errors = errorsOf(draft, pack_mass_g);
  if (pack_mass_g === null || Object.keys(errors).length > 0) return { values: null, errors };
  const textOrNull = (text: string): string | null => (text.trim() === '' ? null : text.trim());
  return {
    values: {
      pack_mass_g,
      place: draft.place,
      place_name: textOrNull(draft.placeName),
      frozen_on: draft.place === 'freezer' ? textOrNull(draft.frozenOn) : null,
      bought_on: textOrNull(draft.boughtOn),
      best_by: textOrNull(draft.bestBy),
      price: readPrice(draft) ?? null,
      seller: textOrNull(draft.seller),
      note: textOrNull(draft.note),
    },
    errors: null,
  };
}
