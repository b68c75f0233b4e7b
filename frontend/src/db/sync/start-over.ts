/** The server no longer knows where this phone stood: restored from a backup, or a new role. */

import { ApiError } from '../../api/client.ts';
import type { Mark } from '../../domain/protocol.ts';
import type { HouseholdDatabase } from '../schema.ts';
import { isSameMark, readPosition } from './position.ts';
import { kept } from './queue.ts';

/**
 * Queues all own applied ops again and begins the pull from nothing, into the hidden set of rows.
 *
 * What was pulled already is not shown as waiting a second time: it is in the rows
 * that stay on screen until the others are complete. `asked` is the mark of the
 * request that was refused; if the phone has moved on since, nothing happens.
 */
export async function startOver(
  db: HouseholdDatabase,
  asked: Mark | null,
  reason: 'restore' | 'role',
): Promise<void> {
  const tables = [db.meta, db.pointer, db.ops, db.rows_a, db.rows_b];
  await db.transaction('rw', tables, async () => {
    const [position] = await Promise.all([readPosition(db), db.look()]);
    if (!isSameMark(position.mark, asked)) return;
    const applied = await db.ops.filter((op) => op.state === 'applied').toArray();
    // They went out under their author's own name once: whoever is signed in now need not agree.
    const again = applied.map(({ seq, submitted_by, ...op }) =>
      kept({ ...op, submitted_by: submitted_by ?? op.author, state: 'pending' }),
    );
    await db.ops.bulkPut(again);
    await db.hidden.clear();
    await db.meta.put({
      ...position,
      mark: null,
      cursor: 0,
      covered: 0,
      filling: true,
      // What a restore took stays lost when a change of role comes on top.
      reason: position.reason === 'restore' ? 'restore' : reason,
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
