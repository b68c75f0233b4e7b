/** Reads records as the screens see them: with the own entries that still wait. */

import { kinds } from '../domain/declared.ts';
import type { Entity, Values } from '../domain/kinds.ts';
import { headEntries } from '../domain/fold.ts';
import type { Alternative } from '../domain/protocol.ts';
import { writeOut } from './batch.ts';
import { current, type Context } from './context.ts';
import { rangeRegister, textIn } from './rows.ts';
import type { StoredRecord } from './schema.ts';

/** The ids on screen per register: those of the displayed value, and all of them. */
export type Seen = Record<string, { shown: string[]; all: string[] }>;

/** A record as read. Keep the one a form was opened with and hand it to edit(). */
export interface Rec<E extends Entity = Entity> {
  rid: string;
  entity: E;
  /** The record it belongs to. */
  owner: string | null;
  values: Values[E];
  made_at: number | null;
  made_by: string | null;
  /** When and by whom the latest value was set. */
  op_at: number;
  op_by: string;
  gone: boolean;
  flags: string[];
  /** Whether it holds entries of this phone that have not come back from the server yet. */
  pending: boolean;
  /** What all that belongs to it came to when it was last carried forward; see carried.ts. */
  carried?: unknown;
  /** Registers on which people disagree: every distinct value, the displayed one first. */
  also: Record<string, Alternative[]>;
  seen: Seen;
}

export interface Which<E extends Entity> {
  owner?: string;
  where?: (values: Values[E], rec: Rec<E>) => boolean;
  /** First and last, on the register `day` (YYYY-MM-DD) or `at` (an instant), inclusive. */
  from?: string;
  to?: string;
  /** Also those that are deleted. */
  gone?: boolean;
}

function withClosure(row: StoredRecord, register: string, ids: readonly string[]): string[] {
  const all = new Set(ids);
  for (const id of ids) {
    for (const seen of row.closure?.[id]?.[register] ?? []) all.add(seen);
  }
  return [...all];
}

function seenOf(row: StoredRecord): Seen {
  const seen: Seen = {};
  for (const register of Object.keys(row.values)) {
    const all = headEntries(row, register).map(([op]) => op);
    const shown = row.also[register]?.[0]?.ops ?? all;
    seen[register] = {
      shown: withClosure(row, register, shown),
      all: withClosure(row, register, all),
    };
  }
  return seen;
}

export function toRec<E extends Entity>(row: StoredRecord): Rec<E> {
  let seen: Seen | undefined;
  return {
    rid: row.rid,
    entity: row.entity as E,
    owner: row.owner,
    values: row.values as unknown as Values[E],
    made_at: row.made_at,
    made_by: row.made_by,
    op_at: row.op_at,
    op_by: row.op_by,
    gone: row.gone,
    flags: row.flags,
    pending: row.pending,
    carried: row.carried,
    also: row.also,
    // Worked out when a form asks: most records are only shown.
    get seen() {
      return (seen ??= seenOf(row));
    },
  };
}

function moment(row: StoredRecord): string {
  const said = textIn(row.values, 'at') ?? textIn(row.values, 'day');
  return said ?? new Date(row.made_at ?? 0).toISOString();
}

function oldestFirst(a: StoredRecord, b: StoredRecord): number {
  const [first, second] = [moment(a), moment(b)];
  if (first !== second) return first < second ? -1 : 1;
  return a.rid < b.rid ? -1 : 1;
}

async function candidates<E extends Entity>(
  entity: E,
  { owner, from, to, gone }: Which<E>,
): Promise<StoredRecord[]> {
  const { records } = current().db;
  if (owner !== undefined) {
    const ofOwner = (live: 0 | 1) =>
      records.where('[owner+live+entity]').equals([owner, live, entity]).toArray();
    return gone ? [...(await ofOwner(1)), ...(await ofOwner(0))] : ofOwner(1);
  }
  // Records without a moment have an empty one, which no range holds.
  const first = from ?? (to === undefined ? '' : '0');
  return records
    .where('[entity+when]')
    .between([entity, first], [entity, `${to ?? ''}\uffff`], true, true)
    .toArray();
}

function isWithin(row: StoredRecord, from?: string, to?: string): boolean {
  if (from === undefined && to === undefined) return true;
  const value = textIn(row.values, rangeRegister(row.entity)) ?? moment(row);
  return value >= (from ?? '') && (to === undefined || value <= `${to}\uffff`);
}

/** The records of a kind, oldest first by `at`, `day` or the time they were made. */
export async function records<E extends Entity>(
  entity: E,
  which: Which<E> = {},
): Promise<Rec<E>[]> {
  await writeOut();
  const rows = await candidates(entity, which);
  return rows
    .filter((row) => (which.gone || row.live === 1) && isWithin(row, which.from, which.to))
    .sort(oldestFirst)
    .map((row) => toRec<E>(row))
    .filter((rec) => which.where?.(rec.values, rec) ?? true);
}

/** With more owners than this, one read of the whole kind costs less than one for each. */
const MANY_OWNERS = 150;

/** The live records of a kind that belong to any of these, those of one owner oldest first. */
export async function recordsOf<E extends Entity>(
  entity: E,
  owners: ReadonlySet<string>,
): Promise<Rec<E>[]> {
  if (owners.size <= MANY_OWNERS) {
    const found = [...owners].map((owner) => records(entity, { owner }));
    return (await Promise.all(found)).flat();
  }
  return (await records(entity)).filter(({ owner }) => owners.has(owner ?? ''));
}

export async function storedRecord(rid: string): Promise<StoredRecord | undefined> {
  await writeOut();
  return current().db.records.get(rid);
}

/** One record, deleted ones included (see `gone`); undefined if this phone has none. */
export async function record<E extends Entity>(
  entity: E,
  rid: string,
): Promise<Rec<E> | undefined> {
  const row = await storedRecord(rid);
  return row?.entity === entity ? toRec<E>(row) : undefined;
}

/** Whether the member of this phone can settle a row: a sitter is not asked about a batch. */
function mayDecide(row: StoredRecord, role: string): boolean {
  return kinds[row.entity]?.write.includes(role) ?? false;
}

/** The rows on which a person has to decide, oldest first. */
export async function undecided({ db, role }: Context): Promise<StoredRecord[]> {
  const rows = await db.records.where('clash').equals(1).toArray();
  return rows.filter((row) => row.live === 1 && mayDecide(row, role)).sort(oldestFirst);
}

/**
 * Reads that belong together: they see one state of the store, and cost one transaction. The
 * query must itself be an async function: only there Dexie follows native promises.
 */
export async function together<T>(query: () => Promise<T>): Promise<T> {
  const { db } = current();
  const { shown } = db;
  // Only the set that is shown: nobody waits while a pull fills the other one.
  const read = () => db.transaction('r', [db.records], query);
  try {
    return await read();
  } catch (error) {
    if (db.shown === shown) throw error;
    // Another set took its place in the middle.
    return read();
  }
}

/** Records on which people disagree, for What is waiting. */
export async function conflicts(): Promise<Rec[]> {
  const rows = await undecided(current());
  return rows.filter((row) => Object.keys(row.also).length > 0).map((row) => toRec(row));
}
