/** Sends own ops and takes in what became of them. */

import { NoAnswer } from '../../api/client.ts';
import type { PushBody, SyncServer } from '../../api/sync.ts';
import type { Ask, PushReply, PushResult } from '../../domain/protocol.ts';
import { setClockOffset, type Context } from '../context.ts';
import { refold } from '../refold.ts';
import type { HouseholdDatabase, OpState, StoredOp, SyncState } from '../schema.ts';
import { isSameMark, readPosition } from './position.ts';
import { withMark } from './start-over.ts';

export const MAX_OPS = 500;
const MAX_BYTES = 256 * 1024;
const MAX_ASKS = 2000;

/** No answer yet. */
export const OPEN: readonly OpState[] = ['pending', 'sent', 'wait'];
const CLOSED: readonly OpState[] = ['rejected', 'discarded'];

/** Entries of another member wait until somebody says yes. */
export function isHeld(op: StoredOp, member: string): boolean {
  return op.author !== member && op.submitted_by === undefined;
}

export async function unsent(db: HouseholdDatabase): Promise<StoredOp[]> {
  return db.ops.where('state').anyOf(OPEN).toArray();
}

/** Ordinary ones by number, then those that wait, then those that failed alone. */
function rank(op: StoredOp): number {
  if (op.poison) return 2;
  return op.state === 'wait' ? 1 : 0;
}

/** What is to be sent, in the order of sending. Read once a round: it may be long. */
export async function sendQueue({ db, member }: Context): Promise<StoredOp[]> {
  const queue = (await unsent(db)).filter((op) => !isHeld(op, member));
  return queue.sort((a, b) => rank(a) - rank(b) || a.n - b.n);
}

/** The first ops of the queue that travel together: at most `limit` and 256 KiB. */
export function nextBatch(queue: readonly StoredOp[], limit: number): StoredOp[] {
  const [first] = queue;
  if (!first) return [];
  const most = first.poison ? 1 : limit;
  const batch: StoredOp[] = [];
  let bytes = 0;
  for (const op of queue) {
    bytes += JSON.stringify(op.body).length;
    const isFull = batch.length >= most || (batch.length > 0 && bytes > MAX_BYTES);
    if (isFull || rank(op) !== rank(first)) break;
    batch.push(op);
  }
  return batch;
}

/** Refused and discarded ops: a late request or a restore may have put them in force after all. */
export async function asks(db: HouseholdDatabase): Promise<Ask[]> {
  const ops = await db.ops.where('state').anyOf(CLOSED).limit(MAX_ASKS).toArray();
  return ops.map(({ op_id, hash }) => ({ op_id, hash }));
}

function withResult(op: StoredOp, result: PushResult, position: SyncState): StoredOp {
  const { refusal, waits_for, poison, ...plain } = op;
  switch (result.status) {
    case 'applied': {
      // Shown on top of the rows until a complete pull has brought it.
      const overlay = op.overlay === 1 && result.seq > position.covered ? 1 : 0;
      return { ...plain, state: 'applied', seq: result.seq, overlay };
    }
    case 'wait':
      return { ...plain, state: 'wait', waits_for: result.rid };
    case 'rejected': {
      const { code, message, fields } = result;
      return { ...plain, state: 'rejected', overlay: 0, refusal: { code, message, fields } };
    }
  }
}

function asFound(op: StoredOp, seq: number, position: SyncState): StoredOp {
  const { refusal, ...plain } = op;
  const wasDiscarded = op.state === 'discarded' && op.replaced_by === undefined;
  const overlay = seq > position.covered ? 1 : 0;
  return {
    ...plain,
    state: 'applied',
    seq,
    overlay,
    ...(wasDiscarded ? { surprise: 1 as const } : {}),
  };
}

async function takeResults(
  db: HouseholdDatabase,
  reply: PushReply,
  position: SyncState,
): Promise<void> {
  const answered = await db.ops.bulkGet(reply.results.map(({ op_id }) => op_id));
  const found = await db.ops.bulkGet(reply.asked.map(({ op_id }) => op_id));
  const reopened = new Set(reply.asked.map(({ op_id }) => op_id));
  const changed = [
    ...reply.results.flatMap((result, index) => {
      const op = answered[index];
      return op && OPEN.includes(op.state) ? [withResult(op, result, position)] : [];
    }),
    ...reply.asked.flatMap(({ seq }, index) => {
      const op = found[index];
      return op && CLOSED.includes(op.state) ? [asFound(op, seq, position)] : [];
    }),
  ];
  await db.ops.bulkPut(changed);
  // What was applied or waits looks as before; it leaves the overlay with a complete pull.
  const gone = changed.filter((op) => op.overlay === 0 || reopened.has(op.op_id));
  await refold(db, new Set(gone.map((op) => op.rid)));
}

async function noteSent(db: HouseholdDatabase, ops: readonly StoredOp[]): Promise<void> {
  await db.ops
    .where('op_id')
    .anyOf(ops.map((op) => op.op_id))
    .modify((op) => {
      if (op.state === 'pending') op.state = 'sent';
    });
}

/**
 * Pushes one batch. False if the reply no longer fits where the phone stands: then another
 * tab or a restore came between, nothing was taken in, and everything is asked again.
 */
export async function push(
  context: Context,
  server: SyncServer,
  queued: readonly StoredOp[],
): Promise<boolean> {
  const { db, household } = context;
  const device = await db.meta.get('device');
  const { mark } = await readPosition(db);
  // The queue was read a while ago: what has been settled or dropped since stays here.
  const current = await db.ops.bulkGet(queued.map((op) => op.op_id));
  const ops = current.flatMap((op) => (op && OPEN.includes(op.state) ? [op] : []));
  const body: PushBody = {
    mark,
    device_id: device?.key === 'device' ? device.device_id : '',
    ops: ops.map((op) => op.body),
    ask: await asks(db),
  };
  if (body.ops.length + body.ask.length === 0) return true;
  const asked_at = Date.now();
  const reply = await withMark(db, mark, () => server.push(household, body)).catch(
    async (error: unknown) => {
      // Without an answer the server may have them: nobody may take them back unasked.
      if (error instanceof NoAnswer) await noteSent(db, ops);
      throw error;
    },
  );
  if (!reply) return false;
  setClockOffset(reply.server_time - (asked_at + Date.now()) / 2);
  return db.transaction('rw', [db.meta, db.ops, db.base, db.records], async () => {
    const position = await readPosition(db);
    if (!isSameMark(position.mark, mark)) return false;
    await takeResults(db, reply, position);
    await db.meta.put({ ...position, mark: reply.mark });
    return true;
  });
}
