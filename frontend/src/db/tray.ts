/** What waits, what was refused, and what a person may do about it. */

import { kinds } from '../domain/declared.ts';
import { headEntries } from '../domain/fold.ts';
import type { SeenHeads } from '../domain/protocol.ts';
import { validate } from '../domain/validate.ts';
import { current } from './context.ts';
import { InvalidValues } from './errors.ts';
import { namesFor } from './names.ts';
import { storedRecord, toRec } from './read.ts';
import { refold } from './refold.ts';
import type { HouseholdDatabase, LostRow, OpState, StoredOp, StoredRecord } from './schema.ts';
import { dropped, isHeld, kept, unsent } from './sync/queue.ts';
import { toEntry, type Entry } from './words.ts';
import { append, writeOut } from './batch.ts';
import { transact } from './write.ts';

/** The entry has gone out meanwhile: nothing was written, and what was typed is not in it. */
export class AlreadyOut extends Error {
  override name = 'AlreadyOut';
  constructor() {
    super(
      'Not changed: this entry has gone out, and the server may have it as it was. Once its ' +
        'answer is here, change it where you entered it.',
    );
  }
}

async function entries(ops: StoredOp[]): Promise<Entry[]> {
  const { member } = current();
  const naming = await namesFor(
    ops.map(({ rid, entity, body }) => ({ rid, entity, values: body.set })),
  );
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
  const rejected = await db.ops.where('closed').equals('rejected').toArray();
  return entries([...rejected, ...(await db.ops.where('surprise').equals(1).toArray())]);
}

/** What the server has not got for sure: refused, or never gone out. Of `sent` nobody knows. */
const OURS_ALONE: readonly OpState[] = ['rejected', 'pending', 'wait'];

/** What else has to follow, in the same transaction. */
type Follow = () => Promise<void>;
const nothing: Follow = () => Promise.resolve();

/**
 * Sends an entry again, with changes: a new op that has seen the one it stands in for. Sent again
 * already, nothing is done. Throws AlreadyOut where the server may have it, or has it by now.
 */
export async function resend(
  { op_id }: Pick<Entry, 'op_id'>,
  changes: Record<string, unknown> = {},
  follow: Follow = nothing,
): Promise<void> {
  const { db } = current();
  let isDone = false;
  let isOut = false;
  await transact(async () => {
    const old = await db.ops.get(op_id);
    if (!old || !OURS_ALONE.includes(old.state)) {
      isOut = old?.state === 'sent' || old?.state === 'applied';
      return;
    }
    const set = { ...old.body.set, ...changes };
    const errors = validate(old.entity, set, { creating: old.body.new });
    if (errors) throw new InvalidValues(errors);
    const seen = await seenForResend(db, old, Object.keys(set));
    const op = await append({ entity: old.entity, rid: old.rid, new: old.body.new, set, seen });
    await writeOut();
    await db.ops.put(kept({ ...old, state: 'discarded', replaced_by: op.op_id }));
    await refold(db, new Map([[old.rid, {}]]), (each) => each.op_id !== old.op_id);
    await follow();
    isDone = true;
  });
  if (isOut) throw new AlreadyOut();
  if (isDone) dropped.add(op_id);
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

/** Whether the server has a row of the record too. */
function isAtServer(record: StoredRecord | undefined): boolean {
  return record !== undefined && (record.based === true || !record.over);
}

/** The records that exist only through this op, and what hangs on them. */
async function recordsMadeBy(db: HouseholdDatabase, op: StoredOp): Promise<Set<string>> {
  const rids = new Set<string>();
  if (!op.body.new || isAtServer(await db.records.get(op.rid))) return rids;
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
  const rejected = await db.ops.where('closed').equals('rejected').toArray();
  const open = [...(await unsent(db)).filter(({ state }) => state !== 'sent'), ...rejected];
  return open.filter((other) => rids.has(other.rid) && other.op_id !== op.op_id);
}

/**
 * Drops refused or waiting entries, with all that waits on them (see waitsOn: ask first).
 *
 * They stay in the phone's log. If the server turns out to have one after all, it is listed.
 * One that went out without an answer is left alone.
 */
export async function discardAll(
  entries: readonly Pick<Entry, 'op_id'>[],
  follow: Follow = nothing,
): Promise<void> {
  const { db } = current();
  const gone = new Set<string>();
  await transact(async () => {
    for (const { op_id } of entries) {
      const op = await db.ops.get(op_id);
      if (!op || !OURS_ALONE.includes(op.state)) continue;
      const all = [op, ...(await dependants(db, op))];
      await db.ops.bulkPut(all.map((each) => kept({ ...each, state: 'discarded' })));
      const ids = new Set(all.map((each) => each.op_id));
      const rids = new Map(all.map((each) => [each.rid, {}]));
      await refold(db, rids, (each) => !ids.has(each.op_id));
      for (const id of ids) gone.add(id);
    }
    await follow();
  });
  for (const id of gone) dropped.add(id);
}

export async function discard(entry: Pick<Entry, 'op_id'>): Promise<void> {
  await discardAll([entry]);
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
    const now = await storedRecord(rid);
    const values = names
      .filter((name) => name !== 'deleted')
      .map((name) => [name, lost.row.values[name]] as const);
    const seen = Object.fromEntries(
      names.map((name) => [name, now ? headEntries(now, name).map(([op]) => op) : []]),
    );
    const set = Object.fromEntries(values);
    // Own edits may show a record that the server lacks: they wait for this.
    const isNew = lost.registers === null && (!now || (now.over !== undefined && !now.based));
    if (values.length > 0) await append({ entity: lost.entity, rid, new: isNew, set, seen });
    await db.lost.delete(rid);
  });
}

export async function dismissLost({ rid }: Pick<LostRow, 'rid'>): Promise<void> {
  const { db } = current();
  await transact(() => db.lost.delete(rid));
}
