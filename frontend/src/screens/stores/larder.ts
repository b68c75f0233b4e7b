/** Everything in store, read from this phone's records and folded into what there is. */
import { records, recordsOf, type Rec } from '../../db/store.svelte';
import type { LedgerCount } from '../../domain/ledger';
import { sum } from '../../domain/sums';
import { stock, type MovementEntry, type Stock } from './stock-list';

/** A lot or a bag, and how much of it there is. */
export interface Stocked<E extends 'lot' | 'bag'> {
  readonly rec: Rec<E>;
  readonly stock: Stock;
  /** What was ever stored of it [g]: a lot's price is for all of that. */
  readonly stored_g: number;
  /** Since when it is in the ledger; null for what nothing was entered of. */
  readonly first_at: string | null;
}

/** The same, with every entry that made it so. */
export interface Ledgered<E extends 'lot' | 'bag'> extends Stocked<E> {
  readonly movements: readonly Rec<'movement'>[];
  readonly counts: readonly Rec<'count'>[];
}

/** What there is: all that feeding and pulling ask. */
export interface Shelves {
  readonly lots: readonly Stocked<'lot'>[];
  readonly bags: readonly Stocked<'bag'>[];
  readonly batches: ReadonlyMap<string, Rec<'batch'>>;
  readonly foods: readonly Rec<'food'>[];
  readonly lastCount: Rec<'count'> | null;
}

/** The same with every entry there ever was, for whoever looks back. */
export interface Larder extends Shelves {
  readonly lots: readonly Ledgered<'lot'>[];
  readonly bags: readonly Ledgered<'bag'>[];
}

export const emptyLarder: Larder = {
  lots: [],
  bags: [],
  batches: new Map(),
  foods: [],
  lastCount: null,
};

export const emptyShelves: Shelves = emptyLarder;

/** Where two people say when a pack was moved, the earlier one counts: food keeps from then on. */
export function movedAt(rec: Rec<'movement'>): string {
  const said = (rec.also['at'] ?? [])
    .map(({ value }) => value)
    .filter((at) => typeof at === 'string');
  return [rec.values.at, ...said].reduce((first, each) => (each < first ? each : first));
}

function movementEntry(rec: Rec<'movement'>): MovementEntry {
  const { what, mass_g, way } = rec.values;
  return { rid: rec.rid, what, mass_g, at: movedAt(rec), way };
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

/** What bags held when they were packed [g]; a lot starts empty. */
function packed_g({ values }: Rec<'lot' | 'bag'>): number {
  return 'batch' in values ? values.mass_g * values.count : 0;
}

/** What the entries of a lot or a bag come to. */
type Sums = Pick<Stocked<'lot'>, 'stock' | 'stored_g' | 'first_at'>;

function sumsOf(
  rec: Rec<'lot' | 'bag'>,
  movements: readonly Rec<'movement'>[],
  counts: readonly Rec<'count'>[],
): Sums {
  const stored = movements.filter(({ values }) => values.what === 'stored');
  return {
    stock: stock(movements.map(movementEntry), counts.map(countEntry), packed_g(rec)),
    stored_g: sum(stored.map(({ values }) => values.mass_g)),
    first_at: movements.map(({ values }) => values.at).sort()[0] ?? null,
  };
}

/** Raise it with every change to what sumsOf() answers: what older builds carried counts no more. */
const RULE = 1;

interface Carried extends Sums {
  readonly rule: number;
}

/** What the entries of a lot or a bag come to, to be kept beside it. */
export function carriedFrom(rec: Rec, entries: readonly Rec[]): Carried | undefined {
  if (rec.entity !== 'lot' && rec.entity !== 'bag') return undefined;
  const ofKind = <E extends 'movement' | 'count'>(entity: E) =>
    entries.filter((entry): entry is Rec<E> => entry.entity === entity);
  const sums = sumsOf(rec as Rec<'lot' | 'bag'>, ofKind('movement'), ofKind('count'));
  return { rule: RULE, ...sums };
}

/** The sums as they were carried forward; undefined where the entries have to be read. */
export function carriedSums({ carried }: Pick<Rec, 'carried'>): Sums | undefined {
  const known = carried as Carried | undefined;
  if (known?.rule !== RULE) return undefined;
  const { rule, ...sums } = known;
  return sums;
}

/** All but the movements, which are by far the most. */
async function readThings() {
  const [lots, bags, batches, foods, counts] = await Promise.all([
    records('lot'),
    records('bag'),
    records('batch'),
    records('food'),
    records('count'),
  ]);
  const beside = {
    batches: new Map(batches.map((batch) => [batch.rid, batch])),
    foods,
    lastCount: counts.at(-1) ?? null,
  };
  return { lots, bags, counted: byOwner(counts), beside };
}

/** Reads what there is. Meant for `live`, so that it follows every entry. */
export async function readShelves(): Promise<Shelves> {
  const { lots, bags, counted, beside } = await readThings();
  const open = [...lots, ...bags].filter((rec) => !carriedSums(rec)).map(({ rid }) => rid);
  const moved = byOwner(await recordsOf('movement', new Set(open)));
  const stocked = <E extends 'lot' | 'bag'>(rec: Rec<E>): Stocked<E> => {
    const entries = [moved.get(rec.rid) ?? [], counted.get(rec.rid) ?? []] as const;
    return { rec, ...(carriedSums(rec) ?? sumsOf(rec, ...entries)) };
  };
  return { lots: lots.map(stocked), bags: bags.map(stocked), ...beside };
}

/** Reads the whole larder with its history. Meant for `live`, so that it follows every entry. */
export async function readLarder(): Promise<Larder> {
  const [{ lots, bags, counted, beside }, movements] = await Promise.all([
    readThings(),
    records('movement'),
  ]);
  const moved = byOwner(movements);
  const ledgered = <E extends 'lot' | 'bag'>(rec: Rec<E>): Ledgered<E> => {
    const own = moved.get(rec.rid) ?? [];
    const counts = counted.get(rec.rid) ?? [];
    return { rec, movements: own, counts, ...sumsOf(rec, own, counts) };
  };
  return { lots: lots.map(ledgered), bags: bags.map(ledgered), ...beside };
}

/** Whether it is kept in a freezer; what nobody said lies there, as most does. */
export function isInFreezer({ rec }: Pick<Stocked<'lot'> | Stocked<'bag'>, 'rec'>): boolean {
  return (rec.values.place ?? 'freezer') === 'freezer';
}

/** Grams in store of each food, lots only. */
export function inStore_g(larder: Shelves): Map<string, number> {
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

/** What of a lot can go in now, thawed or never frozen, and what would first have to thaw [g]. */
function atHand({ rec, stock }: Stocked<'lot'>): readonly [ready_g: number, frozen_g: number] {
  const ready_g = isInFreezer({ rec }) ? Math.min(stock.thawed_g, stock.total_g) : stock.total_g;
  return [ready_g, stock.total_g - ready_g];
}

/**
 * Which lots a mass of a food comes from: what is thawed or was never frozen first, then the oldest.
 * What the lots do not hold is charged to the last of them, so that the ledger shows the surprise
 * instead of hiding it. Empty when the food is not in store at all.
 */
export function takings(larder: Shelves, food: string, mass_g: number): Taking[] {
  const lots = larder.lots
    .filter((lot) => lot.rec.values.food === food && lot.stock.total_g > 0)
    .sort((a, b) => lotDate(a.rec).localeCompare(lotDate(b.rec)));
  const parts = lots.map((lot) => ({ of: lot.rec.rid, parts_g: atHand(lot) }));
  const inTurn = [0, 1].flatMap((turn) =>
    parts.map(({ of, parts_g }) => ({ of, mass_g: parts_g[turn] ?? 0 })),
  );
  const taken = new Map<string, number>();
  let left_g = mass_g;
  let last: string | undefined;
  for (const { of, mass_g: there_g } of inTurn) {
    if (there_g <= 0) continue;
    const part_g = Math.min(left_g, there_g);
    left_g -= part_g;
    last = of;
    if (part_g > 0) taken.set(of, (taken.get(of) ?? 0) + part_g);
  }
  if (last !== undefined && left_g > 0) taken.set(last, (taken.get(last) ?? 0) + left_g);
  return [...taken].map(([of, part_g]) => ({ of, mass_g: part_g }));
}

/**
 * What was read once as it would be had nothing been taken; what comes back is thawed. A lot that
 * more was taken from than it held gives back all of it: whoever takes anew is charged there again.
 */
export function givenBack(larder: Shelves, taken: readonly Taking[]): Shelves {
  if (taken.length === 0) return larder;
  const lots = larder.lots.map((lot) => {
    const back_g = sum(taken.filter(({ of }) => of === lot.rec.rid).map(({ mass_g }) => mass_g));
    if (back_g === 0) return lot;
    const total_g = Math.max(0, lot.stock.total_g) + back_g;
    const thawed_g = lot.stock.thawed_g + back_g;
    return { ...lot, stock: { ...lot.stock, total_g, thawed_g } };
  });
  return { ...larder, lots };
}

/** The date a lot is sorted by; lots without one come last. */
export function lotDate(lot: Rec<'lot'>): string {
  const { frozen_on, bought_on, best_by } = lot.values;
  return frozen_on ?? bought_on ?? best_by ?? '9999';
}

/** What people have called the places and shelves so far, to be offered again. */
export function namesOfPlaces(larder: Shelves): { placeNames: string[]; shelves: string[] } {
  const things = [...larder.lots, ...larder.bags].map((thing) => thing.rec.values);
  const named = (names: readonly (string | null | undefined)[]): string[] => [
    ...new Set(names.filter((name) => name != null)),
  ];
  return {
    placeNames: named(things.map((values) => values.place_name)),
    shelves: named(things.map((values) => values.shelf)),
  };
}
