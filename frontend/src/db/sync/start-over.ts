/** The server no longer knows where this phone stood: restored from a backup, or a new role. */

import { ApiError } from '../../api/client.ts';
import type { Mark } from '../../domain/protocol.ts';
import type { HouseholdDatabase } from '../schema.ts';
import { isSameMark, readPosition } from './position.ts';

/**
 * Queues all own applied ops again and begins the pull from nothing, into a fresh base.
 *
 * What was pulled already is not shown as waiting a second time: it is in the old base,
 * which stays on screen until the fresh one is complete. `asked` is the mark of the
 * request that was refused; if the phone has moved on since, nothing happens.
 */
export async function startOver(
  db: HouseholdDatabase,
  asked: Mark | null,
  reason: 'restore' | 'role',
): Promise<void> {
  await db.transaction('rw', [db.meta, db.ops, db.fresh], async () => {
    const position = await readPosition(db);
    if (!isSameMark(position.mark, asked)) return;
    await db.ops
      .where('state')
      .equals('applied')
      .modify((op) => {
        op.state = 'pending';
        delete op.seq;
      });
    await db.fresh.clear();
    await db.meta.put({
      ...position,
      mark: null,
      cursor: 0,
      covered: 0,
      filling: true,
      reason,
    });
  });
}

/**
 * Makes a request that carries `mark`. Null if the server answered 410: then the phone has
 * been set to start over.
 */
export async function withMark<T>(
  db: HouseholdDatabase,
  mark: Mark | null,
  request: () => Promise<T>,
): Promise<T | null> {
  try {
    return await request();
  } catch (error) {
    if (!(error instanceof ApiError) || error.status !== 410) throw error;
    await startOver(db, mark, error.fields['role'] ? 'role' : 'restore');
    return null;
  }
}
