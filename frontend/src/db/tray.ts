/** What waits, what was refused, and what a person may do about it. */

import { kinds } from '../domain/declared.ts';
import { headEntries } from '../domain/fold.ts';
import type { SeenHeads } from '../domain/protocol.ts';
import { validate } from '../domain/validate.ts';
import { current } from './context.ts';
import { InvalidValues } from './errors.ts';
import { toRec } from './read.ts';
import { refold } from './refold.ts';
import type { HouseholdDatabase, LostRow, StoredOp } from './schema.ts';
import { isHeld, unsent } from './sync/push.ts';
import { toEntry, type Entry, type Naming } from './words.ts';
import { append, transact } from './write.ts';

/** Names of dogs, foods, mealtimes, batches: whatever an entry may point to. */
async function namesFor(db: HouseholdDatabase, ops: readonly StoredOp[]): Promise<Naming> {
  const known = await db.records.bulkGet([...new Set(ops.flatMap(ridsIn))]);
  const owners = await db.records.bulkGet(known.flatMap((row) => (row?.owner ? [row.owner] : [])));
  const names = new Map<string, string>();
  const nameOf = (values: Record<string, unknown>): string | null => {
    const { name, number } = values;
    if (typeof name === 'string') return name;
    return typeof number === 'number' ? `number ${String(number)}` : null;
  };
  for (const row of owners) if (row) names.set(row.rid, nameOf(row.values) ?? '');
  for (const row of known) {
    if (row) names.set(row.rid, nameOf(row.values) ?? names.get(row.owner ?? '') ?? '');
  }
  return (rid) => names.get(rid) ?? null;
}

function ridsIn(op: StoredOp): string[] {
  const texts = Object.values(op.body.set).flat();
  return [op.rid, ...texts.filter((value): value is string => typeof value === 'string')];
}

async function entries(ops: StoredOp[]): Promise<Entry[]> {
  const { db, member } = current();
  const naming = await namesFor(db, ops);
  return ops
    .sort((a, b) => a.n - b.n)
    .map((op) => toEntry(op, isHeld(op, member) && op.state !== 'rejected', naming));
}

/** Entries of this phone that the server does not have yet, oldest first. */
export async function waiting(): Promise<Entry[]> {
  return entries(await unsent(current().db));
}

/** Entries the server refused, and discarded ones that turned out to be in force. */
export async function refused(): Promise<Entry[]> {
  const { db } = current();
  const rejected = await db.ops.where('state').equals('rejected').toArray();
  return entries([...rejected, ...(await db.ops.where('surprise').equals(1).toArray())]);
}

/** Sends a refused entry again, with changes: a new op that has seen the refused one. */
export async function resend(
  { op_id }: Pick<Entry, 'op_id'>,
  changes: Record<string, unknown> = {},
): Promise<void> {
  const { db } = current();
  await transact(async () => {
    const old = await db.ops.get(op_id);
    if (old?.state !== 'rejected') return;
    const set = { ...old.body.set, ...changes };
    const errors = validate(old.entity, set, { creating: old.body.new });
    if (errors) throw new InvalidValues(errors);
    const seen = await seenForResend(db, old, Object.keys(set));
    const op = await append({ entity: old.entity, rid: old.rid, new: old.body.new, set, seen });
    await db.ops.put({ ...old, state: 'discarded', replaced_by: op.op_id });
  });
}

async function seenForResend(
  db: HouseholdDatabase,
  old: StoredOp,
  registers: readonly string[],
): Promise<SeenHeads> {
  const row = await db.records.get(old.rid);
  const onScreen = row ? toRec(row).seen : {};
  const seen: SeenHeads = {};
  const all = old.body.set['deleted'] === true ? Object.keys(old.body.seen) : [];
  for (const register of new Set([...registers, ...all])) {
    const before = old.body.seen[register] ?? [];
    const shown = onScreen[register]?.shown ?? [];
    seen[register] = [...new Set([...shown, ...before, old.op_id])];
  }
  return seen;
}

/** The records that exist only through this op, and what hangs on them. */
async function recordsMadeBy(db: HouseholdDatabase, op: StoredOp): Promise<Set<string>> {
  const rids = new Set<string>();
  if (!op.body.new || (await db.base.get(op.rid))) return rids;
  rids.add(op.rid);
  for (let size = 0; size !== rids.size;) {
    size = rids.size;
    const hanging = (await unsent(db)).filter(({ entity, body }) => {
      const owner = kinds[entity]?.owner;
      return owner && rids.has(body.set[owner] as string);
    });
    for (const each of hanging) rids.add(each.rid);
  }
  return rids;
}

/** What goes with an entry when it is discarded: later entries of the same record, and its children. */
export async function waitsOn({ op_id }: Pick<Entry, 'op_id'>): Promise<Entry[]> {
  const { db } = current();
  const op = await db.ops.get(op_id);
  return op ? entries(await dependants(db, op)) : [];
}

async function dependants(db: HouseholdDatabase, op: StoredOp): Promise<StoredOp[]> {
  const rids = await recordsMadeBy(db, op);
  const open = await db.ops.where('state').anyOf('pending', 'wait', 'rejected').toArray();
  return open.filter((other) => rids.has(other.rid) && other.op_id !== op.op_id);
}

/**
 * Drops a refused or waiting entry, with all that waits on it (see waitsOn: ask first).
 *
 * It stays in the phone's log. If the server turns out to have it after all, it is listed.
 */
export async function discard({ op_id }: Pick<Entry, 'op_id'>): Promise<void> {
  const { db } = current();
  await transact(async () => {
    const op = await db.ops.get(op_id);
    if (!op || !['rejected', 'wait'].includes(op.state)) return;
    const all = [op, ...(await dependants(db, op))];
    await db.ops.bulkPut(all.map((each) => ({ ...each, state: 'discarded', overlay: 0 })));
    await refold(db, new Set(all.map((each) => each.rid)));
  });
}

/** Takes note that a discarded entry is in force. */
export async function acknowledge({ op_id }: Pick<Entry, 'op_id'>): Promise<void> {
  const { db } = current();
  await transact(async () => {
    const op = await db.ops.get(op_id);
    if (!op) return;
    const { surprise, ...rest } = op;
    await db.ops.put(rest);
  });
}

/** Sends what other members of this phone entered, on the responsibility of the one signed in. */
export async function submitHeld(): Promise<void> {
  const { db, member } = current();
  await transact(async () => {
    const held = (await unsent(db)).filter((op) => isHeld(op, member));
    await db.ops.bulkPut(held.map((op) => ({ ...op, submitted_by: member })));
  });
}

/** What this phone showed before the server was restored, and does not find again. */
export async function losses(): Promise<LostRow[]> {
  return current().db.lost.toArray();
}

/** Writes a lost record, or its lost values, again as own entries. */
export async function putBack({ rid }: Pick<LostRow, 'rid'>): Promise<void> {
  const { db } = current();
  await transact(async () => {
    const lost = await db.lost.get(rid);
    if (!lost) return;
    const names = lost.registers ?? Object.keys(lost.row.values);
    const now = await db.records.get(rid);
    const values = names
      .filter((name) => name !== 'deleted')
      .map((name) => [name, lost.row.values[name]] as const);
    const seen = Object.fromEntries(
      names.map((name) => [name, now ? headEntries(now, name).map(([op]) => op) : []]),
    );
    const set = Object.fromEntries(values);
    if (values.length > 0) await append({ entity: lost.entity, rid, new: !now, set, seen });
    await db.lost.delete(rid);
  });
}

export async function dismissLost({ rid }: Pick<LostRow, 'rid'>): Promise<void> {
  const { db } = current();
  await transact(() => db.lost.delete(rid));
}
