/** Everything in store, read from this phone's records and folded into what there is. */
import { records, type Rec } from '../../db/store.svelte';
import type { LedgerCount } from '../../domain/ledger';
import { stock, type MovementEntry, type Stock } from './stock-list';

export interface Stocked<E extends 'lot' | 'bag'> {
  readonly rec: Rec<E>;
  readonly stock: Stock;
  readonly movements: readonly Rec<'movement'>[];
  readonly counts: readonly Rec<'count'>[];
}

export interface Larder {
  readonly lots: readonly Stocked<'lot'>[];
  readonly bags: readonly Stocked<'bag'>[];
  readonly batches: ReadonlyMap<string, Rec<'batch'>>;
  readonly foods: readonly Rec<'food'>[];
  readonly lastCount: Rec<'count'> | null;
}

export const emptyLarder: Larder = {
  lots: [],
  bags: [],
  batches: new Map(),
  foods: [],
  lastCount: null,
};

function movementEntry(rec: Rec<'movement'>): MovementEntry {
  const { what, mass_g, at } = rec.values;
  return { rid: rec.rid, what, mass_g, at };
}

function countEntry(rec: Rec<'count'>): LedgerCount {
  const { counted_g, knew, at } = rec.values;
  return { rid: rec.rid, counted_g, knew, at };
}

function byOwner<E extends 'movement' | 'count'>(recs: readonly Rec<E>[]): Map<string, Rec<E>[]> {
  const groups = new Map<string, Rec<E>[]>();
  for (const rec of recs) {
    const group = groups.get(rec.values.of);
    if (group === undefined) groups.set(rec.values.of, [rec]);
    else group.push(rec);
  }
  return groups;
}

/** Reads the whole larder. Meant for `live`, so that it follows every entry. */
export async function readLarder(): Promise<Larder> {
  const [lots, bags, batches, foods, movements, counts] = await Promise.all([
    records('lot'),
    records('bag'),
    records('batch'),
    records('food'),
    records('movement'),
    records('count'),
  ]);
  const moved = byOwner(movements);
  const counted = byOwner(counts);
  const stocked = <E extends 'lot' | 'bag'>(rec: Rec<E>, packed_g: number): Stocked<E> => {
    const own = moved.get(rec.rid) ?? [];
    const ownCounts = counted.get(rec.rid) ?? [];
    return {
      rec,
      movements: own,
      counts: ownCounts,
      stock: stock(own.map(movementEntry), ownCounts.map(countEntry), packed_g),
    };
  };
  return {
    lots: lots.map((lot) => stocked(lot, 0)),
    bags: bags.map((bag) => stocked(bag, bag.values.mass_g * bag.values.count)),
    batches: new Map(batches.map((batch) => [batch.rid, batch])),
    foods,
    lastCount: counts.at(-1) ?? null,
  };
}

/** Grams in store of each food, lots only. */
export function inStore_g(larder: Larder): Map<string, number> {
  const masses = new Map<string, number>();
  for (const lot of larder.lots) {
    const food = lot.rec.values.food;
    masses.set(food, (masses.get(food) ?? 0) + Math.max(0, lot.stock.total_g));
  }
  return masses;
}

export interface Taking {
  readonly of: string;
  readonly mass_g: number;
}

/**
 * Which lots a mass of a food comes from: thawed ones first, then the oldest. What the lots do not
 * hold is charged to the last of them, so that the ledger shows the surprise instead of hiding it.
 * Empty when the food is not in store at all.
 */
export function takings(larder: Larder, food: string, mass_g: number): Taking[] {
  const lots = larder.lots
    .filter((lot) => lot.rec.values.food === food && lot.stock.total_g > 0)
    .sort(
      (a, b) =>
        Number(b.stock.thawed_g > 0) - Number(a.stock.thawed_g > 0) ||
        lotDate(a.rec).localeCompare(lotDate(b.rec)),
    );
  const taken: Taking[] = [];
  let left_g = mass_g;
  lots.forEach((lot, index) => {
    const isLast = index === lots.length - 1;
    const part_g = isLast ? left_g : Math.min(left_g, lot.stock.total_g);
    left_g -= part_g;
    if (part_g > 0) taken.push({ of: lot.rec.rid, mass_g: part_g });
  });
  return taken;
}

/** The date a lot is sorted by; lots without one come last. */
export function lotDate(lot: Rec<'lot'>): string {
  const { frozen_on, bought_on, best_by } = lot.values;
  return frozen_on ?? bought_on ?? best_by ?? '9999';
}
