/** A lot as it is typed: text until it is read, with an answer for everything that cannot be read. */
import type { Lot, Place } from '../../domain/kinds';
import type { Units } from '../../ui/words';
import {
  isUsUnit,
  massTyped,
  massUnits,
  readSmallPack,
  typedMass_g,
  type MassUnit,
} from './masses';
import { packTyped, readPack, type PackDraft } from './pack-form';

export interface LotDraft extends PackDraft {
  readonly packs: number;
  readonly pack: string;
  readonly unit: MassUnit;
  readonly place: Place;
  /** Whether the packs were bought larger and are divided before they are put by. */
  readonly isDivided: boolean;
  readonly smallPack: string;
  readonly smallUnit: MassUnit;
  readonly frozenOn: string;
  readonly own: 'own' | 'bought' | null;
  readonly boughtOn: string;
  readonly bestBy: string;
  readonly price: string;
  readonly currency: string;
  readonly seller: string;
  readonly note: string;
}

export type LotErrors = Readonly<Partial<Record<keyof LotDraft, string>>>;

/** What a form can say of a lot; how it was divided is told by the ledger. */
type Said = Omit<Lot, 'food' | 'bought_as' | 'divided_from'>;

export type ReadLot =
  | { readonly values: Said; readonly errors: null }
  | { readonly values: null; readonly errors: LotErrors };

export type ReadPurchase =
  | { readonly values: Omit<Lot, 'food'>; readonly stored_g: number; readonly errors: null }
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
    ...packTyped({}, units),
    isDivided: false,
    smallPack: '',
    smallUnit: units === 'us' ? 'oz' : 'g',
    own: null,
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
    ...emptyLot(units, ''),
    pack: massTyped(lot.pack_mass_g, unit),
    unit,
    place: lot.place ?? 'freezer',
    ...packTyped(lot, units),
    own: lot.own == null ? null : lot.own ? 'own' : 'bought',
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
    const most = isUsUnit(draft.unit) ? '110 lb' : '50 kg';
    errors.pack = `One pack may weigh ${most} at most. Is the unit right?`;
  }
  Object.assign(errors, readPack(draft).errors);
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
      ...readPack(draft).values,
      own: draft.own === null ? null : draft.own === 'own',
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

/**
 * Reads a purchase: so many packs, perhaps divided into smaller ones before they are put by. All
 * of it is one lot, since the ledger counts in grams and a rest is no pack less.
 */
export function readPurchase(draft: LotDraft): ReadPurchase {
  const read = readLot(draft);
  if (read.values === null) return read;
  const stored_g = read.values.pack_mass_g * draft.packs;
  if (!draft.isDivided) return { values: read.values, stored_g, errors: null };
  const small = readSmallPack(draft.smallPack, draft.smallUnit, stored_g);
  if (small.mass_g === null) return { values: null, errors: { smallPack: small.error } };
  const bought_as = { packs: draft.packs, pack_mass_g: read.values.pack_mass_g };
  const values = { ...read.values, pack_mass_g: small.mass_g, bought_as };
  return { values, stored_g, errors: null };
}
