/** The ledger of the stores: what lies where, in the order it should be used. */
import type { Batch, Lot } from '../../domain/kinds';
import type { KeepingRow } from '../../domain/tables';
import { dayOf, shortDay } from '../../ui/days';
import { capital, counted, foodMass, storeMass, type Units } from '../../ui/words';
import { classesAsMade, useBy, type KeepingPlace, type UseBy } from './keeping';
import { isInFreezer, lotDate, type Shelves, type Stocked } from './larder';
import { packsSeen, type Stock } from './stock-list';

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
  dry_mix: 'mixed with dry food',
};

/** "4 × 1 kg" when it is whole packs, else the mass alone: "640 g". */
export function packWords(mass_g: number, pack_g: number, units: Units): string {
  const split = packsSeen(mass_g, pack_g, units);
  if (split === null || split.count === 0 || split.rest_g > 0) return storeMass(mass_g, units);
  return `${split.count} × ${storeMass(pack_g, units)}`;
}

/** "46 packs of 200 g", "45 packs of 200 g and 60 g over". */
export function divisionWords(mass_g: number, pack_g: number, units: Units): string {
  const { count, rest_g } = packsSeen(mass_g, pack_g, units) ?? { count: 0, rest_g: 0 };
  const whole = `${counted(count, 'pack')} of ${foodMass(pack_g, units)}`;
  return rest_g > 0 ? `${whole} and ${foodMass(rest_g, units)} over` : whole;
}

/** Where a lot or bag lies, as far as it was said: "Garage freezer, second drawer". */
export function whereWords({
  place,
  place_name,
  shelf,
}: Pick<Lot, 'place' | 'place_name' | 'shelf'>): string {
  const title = placeTitle(place ?? 'freezer', place_name);
  return shelf ? `${title}, ${shelf}` : title;
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
  setting: Pick<Setting, 'classOf' | 'keeping'>,
): { readonly day: string; readonly source: string | null } | null {
  const { best_by, frozen_on, bought_on, food, place } = lot.rec.values;
  if (best_by) return { day: best_by, source: null };
  const from = isInFreezer(lot) ? frozen_on : bought_on;
  const keepingClass = setting.classOf(food);
  if (!from || keepingClass === null || place === 'shelf') return null;
  const where: KeepingPlace = place === 'fridge' ? 'fridge' : 'freezer';
  const found = useBy(setting.keeping, [keepingClass], { place: where, from });
  return found === null ? null : { day: found.day, source: found.source };
}

/**
 * What the day of a lot is called: in the fridge the chart's is about safety, in the freezer about
 * taste; what a pack prints is called as it is typed.
 */
export function untilTitle(
  lot: Stocked<'lot'>,
  until: ReturnType<typeof lotUseBy>,
): 'Use by' | 'Best by' {
  return until?.source != null && !isInFreezer(lot) ? 'Use by' : 'Best by';
}

/** What the ledger itself says is wrong with it. */
function stockWords({ total_g, has_rival_counts }: Stock): string[] {
  return [
    ...(total_g < 0 ? ['more taken out than put in: count it'] : []),
    ...(has_rival_counts ? ['two counts differ: count again'] : []),
  ];
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
    lot.rec.values.shelf ?? '',
    until
      ? `${late ? 'past' : untilTitle(lot, until).toLowerCase()} ${shortDay(until.day, today)}`
      : '',
    ...stockWords(lot.stock),
  ].filter((part) => part !== '');
  const words = detail.join(', ');
  return {
    key: lot.rec.rid,
    ...date,
    title: setting.names(food),
    detail: words === '' ? undefined : words.charAt(0).toUpperCase() + words.slice(1),
    aside: packWords(lot.stock.in_place_g, pack_mass_g, units),
    href: `/stores/${lot.rec.rid}`,
    tone: stockWords(lot.stock).length > 0 || late ? 'care' : undefined,
  };
}

/** "Batch 41, ground". */
export function bagTitle(bag: Stocked<'bag'>, larder: Shelves): string {
  const batch = larder.batches.get(bag.rec.values.batch)?.values;
  if (batch === undefined) return 'A batch';
  if (batch.name != null) return batch.name;
  const number = batch.number ? `Batch ${batch.number}` : 'Batch';
  return `${number}, ${METHOD_WORDS[batch.method] ?? batch.method}`;
}

/** "Use by 28 Nov", "Past its use by 20 Nov". */
export function useByWords(day: string | null | undefined, today: string): string {
  if (!day) return 'No use by date';
  return `${isPast(day, today) ? 'Past its use by' : 'Use by'} ${shortDay(day, today)}`;
}

function bagRow(bag: Stocked<'bag'>, larder: Shelves, setting: Setting): StoreRow {
  const { use_by, packed_at, mass_g, shelf } = bag.rec.values;
  const { today, zone, units } = setting;
  const late = use_by ? isPast(use_by, today) : false;
  return {
    key: bag.rec.rid,
    ...dated('bagged', dayOf(packed_at, zone), today),
    title: bagTitle(bag, larder),
    detail: [shelf ?? '', useByWords(use_by, today), ...stockWords(bag.stock).map(capital)]
      .filter((part) => part !== '')
      .join('. '),
    aside: packWords(bag.stock.in_place_g, mass_g, units),
    href: `/stores/${bag.rec.rid}`,
    tone: late ? 'alert' : stockWords(bag.stock).length > 0 ? 'care' : undefined,
  };
}

interface Kept {
  readonly place: KeepingPlace;
  readonly from: string;
  /** What was weighed in, which counts before what was planned. */
  readonly putIn?: readonly { readonly food: string }[];
}

/** Until when bags keep once they are put somewhere: as long as what is in them. */
export function bagUseBy(
  bag: Stocked<'bag'>,
  larder: Shelves,
  setting: Pick<Setting, 'classOf' | 'keeping'>,
  where: Kept,
): UseBy | null {
  return batchUseBy(larder.batches.get(bag.rec.values.batch)?.values, setting, where);
}

/**
 * Until when a batch keeps once it is put somewhere. Its shortest-lived part decides; where nobody
 * wrote its parts down, the shortest-lived food there is.
 */
export function batchUseBy(
  batch: Batch | undefined,
  setting: Pick<Setting, 'classOf' | 'keeping'>,
  where: Kept,
): UseBy | null {
  const { putIn = [] } = where;
  const classes = (putIn.length > 0 ? putIn : (batch?.plan ?? [])).flatMap(({ food }) => {
    const found = setting.classOf(food);
    return found === null ? [] : [found];
  });
  const known = classesAsMade(classes, batch?.method ?? 'ground');
  const all = setting.keeping.map((row) => row.class);
  return useBy(setting.keeping, known.length > 0 ? known : all, where);
}

interface Placed {
  readonly place: string;
  readonly title: string;
  readonly date: string;
  readonly mass_g: number;
  readonly row: StoreRow;
}

function placed(larder: Shelves, setting: Setting): Placed[] {
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
    .filter((bag) => bag.stock.in_place_g !== 0 || bag.stock.total_g < 0)
    .map((bag) => ({
      place: bag.rec.values.place,
      title: placeTitle(bag.rec.values.place, bag.rec.values.place_name),
      date: dayOf(bag.rec.values.packed_at, setting.zone),
      mass_g: bag.stock.in_place_g,
      row: bagRow(bag, larder, setting),
    }));
  return [...lots, ...bags].sort((a, b) => a.date.localeCompare(b.date));
}

/** The sections of the page: each place, oldest first in each. */
export function storeSections(larder: Shelves, setting: Setting): StoreSection[] {
  const rows = placed(larder, setting);
  const titles = [...new Set(rows.map((row) => `${row.place}|${row.title}`))].sort(
    (a, b) =>
      PLACE_ORDER.indexOf(a.split('|')[0] ?? '') - PLACE_ORDER.indexOf(b.split('|')[0] ?? '') ||
      a.localeCompare(b),
  );
  return titles.map((key): StoreSection => {
    const own = rows.filter((row) => `${row.place}|${row.title}` === key);
    const mass_g = own.reduce((sum, row) => sum + row.mass_g, 0);
    return {
      key,
      title: key.slice(key.indexOf('|') + 1),
      aside: storeMass(mass_g, setting.units),
      rows: own.map((row) => row.row),
    };
  });
}
