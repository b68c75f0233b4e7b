/** One round of sync: everything that can be sent, then everything that is new. */

import { ApiError } from '../../api/client.ts';
import type { SyncServer } from '../../api/sync.ts';
import type { Context } from '../context.ts';
import { MAX_OPS, nextBatch, push, sendQueue } from './push.ts';
import { pullPage } from './pull.ts';
import type { StoredOp } from '../schema.ts';

/** Failures in a row before a batch is split to find the op that breaks it. */
const PATIENCE = 3;
/** Replies that no longer fit, in one round: more of them means that something is wrong. */
const MAX_RESTARTS = 20;

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

export interface Outcome {
  /** A fault of the server that left something unsent. */
  fault: ApiError | null;
}

/** A fault that may lie in one op of the batch. */
function isBatchFault(error: unknown): error is ApiError {
  return error instanceof ApiError && (error.status >= 500 || [400, 413].includes(error.status));
}

async function setPoison(context: Context, op: StoredOp, poison: boolean): Promise<void> {
  await context.db.ops.update(op.op_id, { poison });
}

/** One that had failed alone went through: what broke it is mended for the others too. */
async function clearPoison(context: Context, ops: readonly StoredOp[]): Promise<void> {
  for (const op of ops) if (op.poison) await setPoison(context, op, false);
}

/** What to do about a failed batch: go on with the others, or give up this round. */
async function afterFault(
  context: Context,
  memory: Memory,
  batch: readonly StoredOp[],
  error: ApiError,
): Promise<'go on' | 'give up'> {
  const [only] = batch;
  if (only?.poison) return 'go on';
  memory.faults += 1;
  const isSeeking = memory.limit < MAX_OPS || error.status === 413;
  if (!only || (!isSeeking && memory.faults < PATIENCE)) return 'give up';
  if (batch.length > 1) {
    memory.limit = Math.ceil(batch.length / 2);
    return 'go on';
  }
  await setPoison(context, only, true);
  memory.limit = MAX_OPS;
  memory.faults = 0;
  return 'go on';
}

async function pushAll(
  context: Context,
  server: SyncServer,
  memory: Memory,
  isAlive: () => void,
): Promise<ApiError | null> {
  let fault: ApiError | null = null;
  let queue = await sendQueue(context);
  for (let restarts = 0; restarts < MAX_RESTARTS;) {
    const batch = nextBatch(queue, memory.limit);
    if (batch.length === 0 && !memory.askDue) {
      memory.limit = MAX_OPS;
      return fault;
    }
    isAlive();
    try {
      if (await push(context, server, batch)) {
        memory.faults = 0;
        memory.askDue = false;
        if (batch[0]?.poison) await clearPoison(context, queue);
        queue = queue.slice(batch.length);
      } else {
        restarts += 1;
        queue = await sendQueue(context);
      }
    } catch (error) {
      if (!isBatchFault(error)) throw error;
      fault = error;
      if ((await afterFault(context, memory, batch, error)) === 'give up') return fault;
      // Alone and failing: to the end of the queue, and on with the others.
      if (batch.length === 1) queue = queue.slice(1);
    }
  }
  return fault;
}

async function pullAll(
  context: Context,
  server: SyncServer,
  isAlive: () => void,
): Promise<'done' | 'over'> {
  for (;;) {
    isAlive();
    const pulled = await pullPage(context, server);
    if (pulled !== 'more') return pulled;
  }
}

/**
 * Pushes and pulls until both are through. Throws what stops both: no answer, no session.
 *
 * Runs in one tab at a time where the browser has locks; correctness never depends on it.
 */
export async function syncRound(
  context: Context,
  server: SyncServer,
  memory: Memory,
  isAlive: () => void = () => undefined,
): Promise<Outcome> {
  for (let restarts = 0; ; restarts += 1) {
    const fault = await pushAll(context, server, memory, isAlive);
    if ((await pullAll(context, server, isAlive)) === 'done') return { fault };
    // After a restore or a new role: own ops first, so that the fresh base holds them.
    memory.askDue = true;
    if (restarts >= MAX_RESTARTS) return { fault };
  }
}
