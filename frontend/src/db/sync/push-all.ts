/** Sends everything that waits, batch after batch, and finds the op that breaks the server. */

import { ApiError } from '../../api/client.ts';
import type { SyncServer } from '../../api/sync.ts';
import type { Ask } from '../../domain/protocol.ts';
import type { Context } from '../context.ts';
import type { StoredOp } from '../schema.ts';
import { asks, MAX_ASKS, MAX_BYTES, MAX_OPS, readSender, send, take, toAsk } from './push.ts';
import { clearPoison, Queue, sentAfter, setPoison } from './queue.ts';

/** Failures in a row before a batch is split to find the op that breaks it. */
const PATIENCE = 3;
/** Replies that no longer fit, in one round: more of them means that something is wrong. */
export const MAX_RESTARTS = 20;
/** So many that the server may have already are asked about before they are sent again. */
const WORTH_ASKING = 25;

/** What the rounds of one session of the app remember. */
export interface Memory {
  /** Batches that failed at the server, in a row. */
  faults: number;
  /** The largest batch; smaller while the op that breaks it is sought. */
  limit: number;
  /** Whether refused and discarded ops are still to be asked about, even with nothing to send. */
  askDue: boolean;
}

export function freshMemory(): Memory {
  return { faults: 0, limit: MAX_OPS, askDue: true };
}

/** One run through the queue. */
interface Run {
  context: Context;
  server: SyncServer;
  memory: Memory;
  isAlive: () => void;
  /** Those that failed alone in this round: not tried again in it. */
  failed: Set<string>;
}

/** A fault that may lie in one op of the batch. */
function isBatchFault(error: unknown): error is ApiError {
  return error instanceof ApiError && (error.status >= 500 || [400, 413].includes(error.status));
}

/** What to do about a failed batch: go on with the others, or give up this round. */
async function afterFault(
  { context, memory, failed }: Run,
  batch: readonly StoredOp[],
  error: ApiError,
): Promise<'go on' | 'give up'> {
  const [only] = batch;
  if (batch.length === 1 && only) failed.add(only.op_id);
  if (only?.poison) return 'go on';
  memory.faults += 1;
  const isSeeking = memory.limit < MAX_OPS || error.status === 413;
  if (!only || (!isSeeking && memory.faults < PATIENCE)) return 'give up';
  if (batch.length > 1) {
    memory.limit = Math.ceil(batch.length / 2);
    return 'go on';
  }
  await setPoison(context.db, only);
  memory.limit = MAX_OPS;
  memory.faults = 0;
  return 'go on';
}

/** Thrown out of a run: what failed, and with which batch. */
class BatchFault extends Error {
  constructor(
    readonly fault: ApiError,
    readonly batch: readonly StoredOp[],
  ) {
    super(fault.message);
  }
}

/**
 * Asks about many ops that went out without an answer: most often the server has them, and
 * an id and a hash are a tenth of an op. What it lacks stays where it is in the queue.
 */
async function askFirst(run: Run): Promise<boolean> {
  const { context, server, memory } = run;
  const most = (MAX_ASKS / MAX_OPS) * memory.limit;
  const sender = await readSender(context);
  let sent = await sentAfter(context.db, -Infinity, most);
  if (sent.length < WORTH_ASKING) return true;
  let storing = Promise.resolve(true);
  try {
    while (sent.length > 0) {
      run.isAlive();
      const reading = sentAfter(context.db, sent.at(-1)?.due ?? 0, most);
      const sending = send(context, server, sender, [], sent.map(toAsk));
      const [reply, next, stored] = await settle(sending, reading, storing, []);
      if (!stored || typeof reply === 'string') return false;
      storing = take(context, reply, sender.mark);
      sender.mark = reply.mark;
      sent = next;
    }
    return await storing;
  } finally {
    await storing.catch(() => undefined);
  }
}

/**
 * Sends batch after batch. While one reply is being stored, the next request is under way,
 * carrying that reply's mark: it counts only if the store has come to stand at that very mark.
 * False if the phone stands elsewhere by now, and everything is to be looked at again.
 */
async function drain(run: Run): Promise<boolean> {
  const { context, server, memory } = run;
  if (!(await askFirst(run))) return false;
  const sender = await readSender(context);
  const queue = new Queue(context, run.failed);
  let ask: Ask[] = await asks(context.db);
  let storing = Promise.resolve(true);
  let batch = await queue.next(memory.limit, MAX_BYTES);
  try {
    while (batch.length > 0 || (memory.askDue && ask.length > 0)) {
      run.isAlive();
      const reading = queue.next(memory.limit, MAX_BYTES);
      const sending = send(context, server, sender, batch, ask);
      const [reply, next, stored] = await settle(sending, reading, storing, batch);
      if (!stored || reply === 'over') return false;
      memory.faults = 0;
      memory.askDue = false;
      if (reply !== 'nothing') {
        storing = take(context, reply, sender.mark);
        sender.mark = reply.mark;
      }
      if (batch[0]?.poison) await clearPoison(context.db);
      [ask, batch] = [[], next];
    }
    memory.askDue = false;
    return await storing;
  } finally {
    // Whatever ends the run: what is being stored must not fail unseen afterwards.
    await storing.catch(() => undefined);
  }
}

/** Waits for all three, so that nothing goes on unseen when one of them fails. */
async function settle<A, B>(
  sending: Promise<A>,
  reading: Promise<B>,
  storing: Promise<boolean>,
  batch: readonly StoredOp[],
): Promise<[A, B, boolean]> {
  const [sent] = await Promise.allSettled([sending, reading, storing]);
  if (sent.status === 'rejected' && isBatchFault(sent.reason)) {
    throw new BatchFault(sent.reason, batch);
  }
  return Promise.all([sending, reading, storing]);
}

/** Sends all there is. Returns the fault of the server that left something unsent, if any. */
export async function pushAll(
  context: Context,
  server: SyncServer,
  memory: Memory,
  isAlive: () => void,
): Promise<ApiError | null> {
  const run: Run = { context, server, memory, isAlive, failed: new Set() };
  let fault: ApiError | null = null;
  for (let restarts = 0; restarts < MAX_RESTARTS;) {
    try {
      if (await drain(run)) {
        memory.limit = MAX_OPS;
        return fault;
      }
      restarts += 1;
    } catch (error) {
      if (!(error instanceof BatchFault)) throw error;
      fault = error.fault;
      if ((await afterFault(run, error.batch, fault)) === 'give up') return fault;
    }
  }
  return fault;
}
