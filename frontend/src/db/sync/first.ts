/** What a new phone shows while it fetches the rest. */

import { ApiError, NoAnswer } from '../../api/client.ts';
import type { SyncServer } from '../../api/sync.ts';
import type { Row } from '../../domain/protocol.ts';
import type { Context } from '../context.ts';
import { overlaidRids } from '../refold.ts';
import type { HouseholdDatabase, SyncState } from '../schema.ts';
import { reportError } from '../state.svelte.ts';
import { readPosition } from './position.ts';
import { showRows } from './pull.ts';

function isNew({ cursor, filling, completed_at, reason }: SyncState): boolean {
  return filling && cursor === 0 && completed_at === null && reason === null;
}

/** Whether the phone has nothing of the server's to show. */
async function isEmpty(db: HouseholdDatabase): Promise<boolean> {
  return (await db.records.count()) === (await overlaidRids(db)).size;
}

async function show({ db }: Context, rows: readonly Row[]): Promise<void> {
  const tables = [db.meta, db.pointer, db.ops, db.base, db.rows_a, db.rows_b];
  await db.transaction('rw', tables, async () => {
    const [position] = await Promise.all([readPosition(db), db.look()]);
    if (isNew(position)) await showRows(db, rows, () => true);
  });
}

/**
 * Fetches the few rows that the first screen shows, on a phone that has none, and shows them
 * until the first pull is complete and takes their place.
 *
 * They are rows like any other, so entries made upon them are sound. They move neither cursor
 * nor mark: nothing depends on them, and without an answer the pull simply goes ahead.
 */
export async function firstLook(context: Context, server: SyncServer): Promise<void> {
  const { db, household } = context;
  if (!server.first || !isNew(await readPosition(db)) || !(await isEmpty(db))) return;
  try {
    await show(context, (await server.first(household)).rows);
  } catch (error) {
    // Whatever went wrong with it, the pull must not: what breaks that one too, it will say.
    if (!(error instanceof ApiError || error instanceof NoAnswer)) reportError(error);
  }
}
