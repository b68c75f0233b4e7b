/** Fetches rows, page by page, into the base or into a fresh one that replaces it. */

import type { SyncServer } from '../../api/sync.ts';
import type { ChangesReply, Row } from '../../domain/protocol.ts';
import { setClockOffset, type Context } from '../context.ts';
import { overlaidRids, refold, toRecord } from '../refold.ts';
import type { HouseholdDatabase, SyncState } from '../schema.ts';
import { noteLosses } from './losses.ts';
import { isSamePosition, readPosition } from './position.ts';
import { withMark } from './start-over.ts';

/** Rows without own ops on top are shown as they came; the others are folded. */
async function show(db: HouseholdDatabase, rows: readonly Row[]): Promise<void> {
  const overlaid = await overlaidRids(db);
  const plain = rows.filter((row) => !overlaid.has(row.rid));
  await db.records.bulkPut(plain.map((row) => toRecord(row, [])));
  await refold(
    db,
    rows.filter((row) => overlaid.has(row.rid)).map((row) => row.rid),
  );
}

async function swap(db: HouseholdDatabase, reason: SyncState['reason']): Promise<void> {
  const rows = await db.fresh.toArray();
  if (reason === 'restore') await noteLosses(db, rows);
  await db.base.clear();
  await db.base.bulkPut(rows);
  await db.records.clear();
  await show(db, rows);
  await refold(db, await overlaidRids(db));
  await db.fresh.clear();
}

/** Own ops that a complete pull has brought are in the base now; says whose records they change. */
async function liftOverlay(db: HouseholdDatabase, covered: number): Promise<Set<string>> {
  const overlay = db.ops.where('[overlay+rid]').between([1, ''], [1, '\uffff']);
  const ops = await overlay.toArray();
  const lifted = ops.filter((op) => op.state === 'applied' && (op.seq ?? Infinity) <= covered);
  await db.ops.bulkPut(lifted.map((op) => ({ ...op, overlay: 0 as const })));
  return new Set(lifted.map((op) => op.rid));
}

async function takePage(db: HouseholdDatabase, reply: ChangesReply): Promise<void> {
  const position = await readPosition(db);
  const next: SyncState = { ...position, mark: reply.mark, cursor: reply.cursor };
  await (position.filling ? db.fresh : db.base).bulkPut(reply.rows);
  const lifted = reply.more ? new Set<string>() : await liftOverlay(db, reply.cursor);
  if (!position.filling) {
    await show(db, reply.rows);
    for (const row of reply.rows) lifted.delete(row.rid);
    await refold(db, lifted);
  }
  if (!reply.more) {
    if (position.filling) await swap(db, position.reason);
    next.covered = reply.cursor;
    next.filling = false;
    next.reason = null;
    next.completed_at = Date.now();
  }
  await db.meta.put(next);
}

/** over: the server no longer knows the mark, and own ops must be pushed before the next pull. */
export type Pulled = 'more' | 'done' | 'over';

/** Pulls one page. */
export async function pullPage(context: Context, server: SyncServer): Promise<Pulled> {
  const { db, household } = context;
  const before = await readPosition(db);
  const asked_at = Date.now();
  const { cursor, mark } = before;
  const reply = await withMark(db, mark, () => server.changes(household, cursor, mark));
  if (!reply) return 'over';
  setClockOffset(reply.server_time - (asked_at + Date.now()) / 2);
  const tables = [db.meta, db.ops, db.base, db.fresh, db.records, db.lost];
  return db.transaction('rw', tables, async () => {
    if (!isSamePosition(before, await readPosition(db))) return 'more';
    await takePage(db, reply);
    return reply.more ? 'more' : 'done';
  });
}
