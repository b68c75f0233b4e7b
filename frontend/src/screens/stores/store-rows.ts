/** The ledger of the stores: what lies where, in the order it should be used. */
import type { KeepingRow } from '../../domain/tables';
import { clockOf, dayOf, dayWords, shortDay } from '../../ui/days';
import { storeMass, type Units } from '../../ui/words';
import { thawedUntil, useBy, type KeepingPlace } from './keeping';
import { lotDate, type Larder, type Stocked } from './larder';
import { packs } from './stock-list';

export interface StoreRow {
  readonly key: string;
  readonly over?: string | undefined;
  readonly figure: string;
  readonly title: string;
  readonly detail?: string | undefined;
  readonly aside: string;
  readonly href: string;
  readonly tone?: 'alert' | 'care' | undefined;
}

export interface StoreSection {
  readonly key: string;
  readonly title: string;
  readonly aside?: string | undefined;
  readonly rows: readonly StoreRow[];
}

export interface Setting {
  readonly names: (food: string) => string;
  readonly classOf: (food: string) => string | null;
  readonly keeping: readonly KeepingRow[];
  readonly today: string;
  readonly zone: string;
  readonly units: Units;
}

export const METHOD_WORDS: Readonly<Record<string, string>> = {
  ground: 'ground',
  chopped: 'chopped',
  cooked: 'cooked',
  bone_in: 'whole, bone in',
};

/** "4 × 1 kg" when it is whole packs, else the mass alone: "640 g". */
export function packWords(mass_g: number, pack_g: number, units: Units): string {
  const split = packs(mass_g, pack_g);
  if (split === null || split.count === 0 || split.rest_g > 0) return storeMass(mass_g, units);
  return `${split.count} × ${storeMass(pack_g, units)}`;
}

/** Name of the place a lot or bag lies in: "Garage freezer", "Freezer". */
export function placeTitle(place: string, name: string | null | undefined): string {
  if (name) return name;
  return place === 'freezer' ? 'Freezer' : place === 'fridge' ? 'Fridge' : 'Shelf';
}

const PLACE_ORDER = ['fridge', 'freezer', 'shelf'];

function isPast(day: string, today: string): boolean {
  return day < today;
}

/** A date a row stands under, and how urgent it is. */
function dated(
  over: string,
  day: string | null | undefined,
  today: string,
): Pick<StoreRow, 'over' | 'figure'> {
  return day ? { over, figure: shortDay(day, today) } : { over: 'no', figure: 'date' };
}

/** The day by which a lot is best used: printed on the pack, or from the keeping table. */
export function lotUseBy(
  lot: Stocked<'lot'>,
  setting: Setting,
): { readonly day: string; readonly source: string | null } | null {
  const { best_by, frozen_on, bought_on, food, place } = lot.rec.values;
  if (best_by) return { day: best_by, source: null };
  const from = place === 'freezer' ? frozen_on : bought_on;
  const keepingClass = setting.classOf(food);
  if (!from || keepingClass === null || place === 'shelf') return null;
  const where: KeepingPlace = place === 'fridge' ? 'fridge' : 'freezer';
  const found = useBy(setting.keeping, [keepingClass], { place: where, from });
  return found === null ? null : { day: found.day, source: found.source };
}

function lotRow(lot: Stocked<'lot'>, setting: Setting): StoreRow {
  const { food, pack_mass_g, place, frozen_on, bought_on, best_by } = lot.rec.values;
  const { today, units } = setting;
  const date =
    place === 'freezer'
      ? dated('frozen', frozen_on, today)
      : best_by
        ? dated('best by', best_by, today)
        : dated('bought', bought_on, today);
  const until = lotUseBy(lot, setting);
  const late = until !== null && isPast(until.day, today);
  const detail = [
    until ? `${late ? 'past ' : 'best by '}${shortDay(until.day, today)}` : '',
    lot.stock.total_g < 0 ? 'more taken out than put in: count it' : '',
    lot.stock.has_rival_counts ? 'two counts differ: count again' : '',
  ].filter((part) => part !== '');
  const words = detail.join(', ');
  return {
    key: lot.rec.rid,
    ...date,
    title: setting.names(food),
    detail: words === '' ? undefined : words.charAt(0).toUpperCase() + words.slice(1),
    aside: packWords(lot.stock.in_place_g, pack_mass_g, units),
    href: `/stores/${lot.rec.rid}`,
    tone: lot.stock.total_g < 0 || lot.stock.has_rival_counts || late ? 'care' : undefined,
  };
}

function thawRows(lot: Stocked<'lot'>, setting: Setting): StoreRow[] {
  const { today, zone, units } = setting;
  const keepingClass = setting.classOf(lot.rec.values.food);
  return lot.stock.thaws.map((thaw) => {
    const until =
      keepingClass === null ? null : thawedUntil(setting.keeping, keepingClass, thaw.since);
    const late = until !== null && Date.parse(until.at) < Date.parse(`${today}T00:00:00Z`);
    return {
      key: `${lot.rec.rid}-${thaw.since}`,
      over: until ? `until ${dayWords(dayOf(until.at, zone), today)}` : 'use',
      figure: until ? clockOf(until.at, zone) : 'first',
      title: setting.names(lot.rec.values.food),
      detail: `${late ? 'Past its days. ' : ''}In the fridge since ${dayWords(
        dayOf(thaw.since, zone),
        today,
      )} ${clockOf(thaw.since, zone)}`,
      aside: packWords(thaw.mass_g, lot.rec.values.pack_mass_g, units),
      href: `/stores/${lot.rec.rid}`,
      tone: late ? 'alert' : undefined,
    };
  });
}

/** "Batch 41, ground". */
export function bagTitle(bag: Stocked<'bag'>, larder: Larder): string {
  const batch = larder.batches.get(bag.rec.values.batch)?.values;
  if (batch === undefined) return 'A batch';
  if (batch.name != null) return batch.name;
  const number = batch.number ? `Batch ${batch.number}` : 'Batch';
  return `${number}, ${METHOD_WORDS[batch.method] ?? batch.method}`;
}

function bagRow(bag: Stocked<'bag'>, larder: Larder, setting: Setting): StoreRow {
  const { use_by, packed_at, mass_g } = bag.rec.values;
  const { today, zone, units } = setting;
  const late = use_by ? isPast(use_by, today) : false;
  return {
    key: bag.rec.rid,
    ...dated('bagged', dayOf(packed_at, zone), today),
    title: bagTitle(bag, larder),
    detail: use_by
      ? `${late ? 'Past its use by' : 'Use by'} ${shortDay(use_by, today)}`
      : 'No use by date',
    aside: packWords(bag.stock.in_place_g, mass_g, units),
    href: `/stores/${bag.rec.rid}`,
    tone: late ? 'alert' : undefined,
  };
}

interface Placed {
  readonly place: string;
  readonly title: string;
  readonly date: string;
  readonly mass_g: number;
  readonly row: StoreRow;
}

function placed(larder: Larder, setting: Setting): Placed[] {
  const lots = larder.lots
    .filter((lot) => lot.stock.in_place_g !== 0 || lot.stock.total_g < 0)
    .map((lot) => {
      const place = lot.rec.values.place ?? 'freezer';
      return {
        place,
        title: placeTitle(place, lot.rec.values.place_name),
        date: lotDate(lot.rec),
        mass_g: lot.stock.in_place_g,
        row: lotRow(lot, setting),
      };
    });
  const bags = larder.bags
    .filter((bag) => bag.stock.total_g !== 0)
    .map((bag) => ({
      place: bag.rec.values.place,
      title: placeTitle(bag.rec.values.place, null),
      date: dayOf(bag.rec.values.packed_at, setting.zone),
      mass_g: bag.stock.total_g,
      row: bagRow(bag, larder, setting),
    }));
  return [...lots, ...bags].sort((a, b) => a.date.localeCompare(b.date));
}

/** The sections of the page: what is thawing first, then each place, oldest first in each. */
export function storeSections(larder: Larder, setting: Setting): StoreSection[] {
  const thawing = larder.lots.flatMap((lot) => thawRows(lot, setting));
  const rows = placed(larder, setting);
  const titles = [...new Set(rows.map((row) => `${row.place}|${row.title}`))].sort(
    (a, b) =>
      PLACE_ORDER.indexOf(a.split('|')[0] ?? '') - PLACE_ORDER.indexOf(b.split('|')[0] ?? '') ||
      a.localeCompare(b),
  );
  const places = titles.map((key): StoreSection => {
    const own = rows.filter((row) => `${row.place}|${row.title}` === key);
    const mass_g = own.reduce((sum, row) => sum + row.mass_g, 0);
    return {
      key,
      title: key.slice(key.indexOf('|') + 1),
      aside: storeMass(mass_g, setting.units),
      rows: own.map((row) => row.row),
    };
  });
  if (thawing.length === 0) return places;
  return [{ key: 'thawing', title: 'Thawing', aside: 'in the fridge', rows: thawing }, ...places];
}
