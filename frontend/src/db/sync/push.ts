/** Sends own ops and takes in what became of them. */

import { bodyHash } from '../../domain/canonical.ts';
import { NoAnswer } from '../../api/client.ts';
import type { PushBody, SyncServer } from '../../api/sync.ts';
import type { Ask, Mark, PushReply, PushResult } from '../../domain/protocol.ts';
import { readDevice } from '../batch.ts';
import { setClockOffset, type Context } from '../context.ts';
import { overlaidRids, refold, type Change } from '../refold.ts';
import type { HouseholdDatabase, StoredOp, SyncState } from '../schema.ts';
import { isSameMark, readPosition } from './position.ts';
import { dropped, kept, OPEN } from './queue.ts';
import { withMark } from './start-over.ts';

export const MAX_OPS = 500;
export const MAX_BYTES = 256 * 1024;
export const MAX_ASKS = 2000;

export function toAsk({ op_id, body }: StoredOp): Ask {
  return { op_id, hash: bodyHash(body) };
}

/** Refused and discarded ops: a late request or a restore may have put them in force after all. */
export async function asks(db: HouseholdDatabase): Promise<Ask[]> {
  const ops = await db.ops.where('closed').aboveOrEqual('').limit(MAX_ASKS).toArray();
  return ops.map(toAsk);
}

function withResult(op: StoredOp, result: PushResult): StoredOp {
  const { refusal, waits_for, poison, ...plain } = op;
  switch (result.status) {
    case 'applied':
      return kept({ ...plain, state: 'applied', seq: result.seq });
    case 'wait':
      return kept({ ...plain, state: 'wait', waits_for: result.rid });
    case 'rejected': {
      const { code, message, fields } = result;
      return kept({ ...plain, state: 'rejected', refusal: { code, message, fields } });
    }
  }
}

function asFound(op: StoredOp, seq: number): StoredOp {
  const { refusal, waits_for, poison, ...plain } = op;
  const wasDiscarded = op.state === 'discarded' && op.replaced_by === undefined;
  const found = kept({ ...plain, state: 'applied', seq });
  return wasDiscarded ? { ...found, surprise: 1 } : found;
}

async function takeResults(
  db: HouseholdDatabase,
  reply: PushReply,
  { covered }: SyncState,
): Promise<void> {
  const answered = await db.ops.bulkGet(reply.results.map(({ op_id }) => op_id));
  const asked = await db.ops.bulkGet(reply.asked.map(({ op_id }) => op_id));
  const changed: StoredOp[] = [];
  const changes = new Map<string, Change>();
  const reopen = (op: StoredOp, seq: number): void => {
    const found = asFound(op, seq);
    changed.push(found);
    // A refused or discarded one is on top again, until a complete pull has brought it.
    if (OPEN.includes(op.state) || seq <= covered) return;
    const { add = [] } = changes.get(op.rid) ?? {};
    changes.set(op.rid, { add: [...add, found] });
  };
  for (const [index, result] of reply.results.entries()) {
    const op = answered[index];
    if (op && OPEN.includes(op.state)) changed.push(withResult(op, result));
    // Dropped here while it was under way: it arrived all the same.
    else if (op?.closed && result.status === 'applied') reopen(op, result.seq);
  }
  for (const [index, { seq }] of reply.asked.entries()) {
    const op = asked[index];
    if (op && op.state !== 'applied') reopen(op, seq);
  }
  await db.ops.bulkPut(changed);
  // What was applied or waits looks as before; it leaves the top with a complete pull.
  const lifted = (op: StoredOp) => op.closed === 'rejected' || (op.seq ?? Infinity) <= covered;
  const leaving = changed.filter((op) => lifted(op) && !changes.has(op.rid));
  const overlaid = leaving.length > 0 ? await overlaidRids(db) : null;
  for (const { rid } of leaving) if (overlaid?.has(rid)) changes.set(rid, {});
  await refold(db, changes, (op) => !lifted(op));
}

async function noteSent(db: HouseholdDatabase, ops: readonly StoredOp[]): Promise<void> {
  await db.transaction('rw', db.ops, async () => {
    const now = await db.ops.bulkGet(ops.map((op) => op.op_id));
    const sent = now.flatMap((op) =>
      op?.state === 'pending' ? [kept({ ...op, state: 'sent' })] : [],
    );
    await db.ops.bulkPut(sent);
  });
}

/** Where a run of requests begins. */
export interface Sender {
  mark: Mark | null;
  device_id: string;
}

export async function readSender(context: Context): Promise<Sender> {
  const { device_id } = await readDevice(context);
  const { mark } = await readPosition(context.db);
  return { mark, device_id };
}

/** Sends a batch. over: the server no longer knows the mark, and the phone starts over. */
export async function send(
  { db, household }: Context,
  server: SyncServer,
  { mark, device_id }: Sender,
  batch: readonly StoredOp[],
  ask: Ask[],
): Promise<PushReply | 'nothing' | 'over'> {
  const ops = batch.filter(({ op_id }) => !dropped.has(op_id));
  if (ops.length + ask.length === 0) return 'nothing';
  const body: PushBody = { mark, device_id, ops: ops.map((op) => op.body), ask };
  const asked_at = Date.now();
  const reply = await withMark(db, mark, () => server.push(household, body)).catch(
    async (error: unknown) => {
      // Without an answer the server may have them: nobody may take them back unasked.
      if (error instanceof NoAnswer && error.hasLeft) await noteSent(db, ops);
      throw error;
    },
  );
  if (!reply) return 'over';
  setClockOffset(reply.server_time - (asked_at + Date.now()) / 2);
  return reply;
}

/**
 * Takes in a reply to a request that carried `mark`. False if the phone stands elsewhere by
 * now: then another tab or a restore came between, nothing was taken in, and everything is
 * asked again.
 */
export async function take({ db }: Context, reply: PushReply, mark: Mark | null): Promise<boolean> {
  const tables = [db.meta, db.pointer, db.ops, db.base, db.rows_a, db.rows_b];
  return db.transaction('rw', tables, async () => {
    const [position] = await Promise.all([readPosition(db), db.look()]);
    if (!isSameMark(position.mark, mark)) return false;
    await takeResults(db, reply, position);
    await db.meta.put({ ...position, mark: reply.mark });
    return true;
  });
}
