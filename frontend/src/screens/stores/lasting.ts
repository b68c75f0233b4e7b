/** How long what is in store lasts at the present rate, and what it cost. */
import { records, type Rec } from '../../db/store.svelte';
import { addDays, dayOf, daysAgo, daysBetween } from '../../ui/days';
import { priceOf } from './dividing';
import { emptyShelves, readShelves, type Shelves, type Stocked } from './larder';

/** Days that the present rate is taken from: long enough for a rotation, short enough to be now. */
export const RATE_DAYS = 28;
/** With fewer days of the ledger than this, nobody can say what is usual. */
const LEAST_DAYS = 7;

export interface Lasting {
  readonly food: string;
  readonly left_g: number;
  /** What is used a day; null while too little is known [g]. */
  readonly rate_g_per_day: number | null;
  /** The first day without it; null when the rate is not known or nothing is used. */
  readonly outOn: string | null;
}

interface Moment {
  readonly today: string;
  readonly zone: string;
}

/** What there is, and what was entered in the days that the present rate is taken from. */
export interface InUse extends Shelves {
  readonly lately: readonly Rec<'movement'>[];
}

export const noneInUse: InUse = { ...emptyShelves, lately: [] };

/** Meant for `live`. A day more than the window at either end: days are the household's. */
export async function readInUse(): Promise<InUse> {
  const [shelves, lately] = await Promise.all([
    readShelves(),
    records('movement', { from: daysAgo(RATE_DAYS + 2) }),
  ]);
  return { ...shelves, lately };
}

/** What was eaten or put into batches of some lots in the window, and since when it is known. */
function rateOf(
  lots: readonly Stocked<'lot'>[],
  lately: readonly Rec<'movement'>[],
  { today, zone }: Moment,
): number | null {
  const own = new Set(lots.map(({ rec }) => rec.rid));
  const firsts = lots.flatMap(({ first_at }) => (first_at === null ? [] : [dayOf(first_at, zone)]));
  const first = firsts.reduce((least, day) => (day < least ? day : least), today);
  const days = lately
    .filter(({ values }) => own.has(values.of))
    .map(({ values }) => ({ ...values, day: dayOf(values.at, zone) }));
  const known = Math.min(RATE_DAYS, daysBetween(first, today));
  if (known < LEAST_DAYS) return null;
  const from = addDays(today, -known);
  // What was only divided moved, and what was thrown away is no rate that anybody keeps to.
  const used_g = days
    .filter(({ what, into, day }) => what === 'used' && into == null && day > from)
    .reduce((sum, { mass_g }) => sum + mass_g, 0);
  return used_g / known;
}

/** Every food in store with how long it lasts, what runs out first in front. */
export function lastings({ lots: all, lately }: InUse, moment: Moment): Lasting[] {
  const lots = new Map<string, Stocked<'lot'>[]>();
  for (const lot of all) {
    const { food } = lot.rec.values;
    lots.set(food, [...(lots.get(food) ?? []), lot]);
  }
  return [...lots]
    .map(([food, own]) => {
      const left_g = own.reduce((sum, lot) => sum + Math.max(0, lot.stock.total_g), 0);
      const rate_g_per_day = rateOf(own, lately, moment);
      const outOn = rate_g_per_day
        ? addDays(moment.today, Math.floor(left_g / rate_g_per_day))
        : null;
      return { food, left_g, rate_g_per_day, outOn };
    })
    .filter(({ left_g }) => left_g > 0)
    .sort((a, b) => (a.outOn ?? '9999').localeCompare(b.outOn ?? '9999'));
}

export interface Value {
  /** What was paid for what is left, in the smallest coin, by currency. */
  readonly minor: ReadonlyMap<string, number>;
  /** How many lots in store have no price, so that the value is higher. */
  readonly unpriced: number;
}

/** What was paid for what is left in the lots. */
export function valueInStore(larder: Pick<Shelves, 'lots'>): Value {
  const minor = new Map<string, number>();
  let unpriced = 0;
  for (const lot of larder.lots.filter(({ stock }) => stock.total_g > 0)) {
    const price = priceOf(lot, lot.stock.total_g);
    if (!price) unpriced += 1;
    else minor.set(price.currency, (minor.get(price.currency) ?? 0) + price.minor);
  }
  return { minor, unpriced };
}
