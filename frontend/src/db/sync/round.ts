/** One round of sync: everything that can be sent, then everything that is new. */

import type { ApiError } from '../../api/client.ts';
import type { SyncServer } from '../../api/sync.ts';
import type { Context } from '../context.ts';
import { firstLook } from './first.ts';
import { pullAll } from './pull.ts';
import { MAX_RESTARTS, pushAll, type Memory } from './push-all.ts';

export interface Outcome {
  /** A fault of the server that left something unsent. */
  fault: ApiError | null;
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
  await firstLook(context, server);
  for (let restarts = 0; ; restarts += 1) {
    const fault = await pushAll(context, server, memory, isAlive);
    if ((await pullAll(context, server, isAlive)) === 'done') return { fault };
    // After a restore or a new role: own ops first, so that the fresh rows hold them.
    memory.askDue = true;
    if (restarts >= MAX_RESTARTS) return { fault };
  }
}
