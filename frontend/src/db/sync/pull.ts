/** Fetches rows, page by page, into what is shown or into a hidden set that replaces it. */

import type { SyncServer } from '../../api/sync.ts';
import type { ChangesReply, Row } from '../../domain/protocol.ts';
import { setClockOffset, type Context } from '../context.ts';
import { dropCarried, overlaidRids, refold, type Change, type Keep } from '../refold.ts';
import { isDeleted, toRecord, toRow } from '../rows.ts';
import type { HouseholdDatabase, StoredOp, SyncState } from '../schema.ts';
import { noteLosses, rowsShown } from './losses.ts';
import { isSamePosition, readPosition } from './position.ts';
import { unsent } from './queue.ts';
import { withMark } from './start-over.ts';

/** Whether the server's rows up to `seq` hold an op of this phone. */
function isIn(op: StoredOp, seq: number): boolean {
  return op.state === 'applied' && (op.seq ?? Infinity) <= seq;
}

/** Shows rows as they came; where own ops lie on top, folded with those that `keep` leaves. */
export async function showRows(
  db: HouseholdDatabase,
  rows: readonly Row[],
  keep: Keep,
  others = false,
): Promise<void> {
  const overlaid = await overlaidRids(db);
  const changes = new Map<string, Change>();
  const differing = new Set(await db.base.toCollection().primaryKeys());
  // Of a deleted record this phone may hold a live child that the server has not heard of.
  const isFolded = (row: Row): boolean =>
    overlaid.has(row.rid) || differing.has(row.rid) || isDeleted(row);
  for (const row of rows) {
    if (isFolded(row)) changes.set(row.rid, { row });
    // Whether a child lives matters to an owner that is deleted on this phone alone.
    if (row.owner && overlaid.has(row.owner) && !changes.has(row.owner)) changes.set(row.owner, {});
  }
  if (others) for (const rid of overlaid) if (!changes.has(rid)) changes.set(rid, {});
  const plain = rows.filter((row) => !isFolded(row));
  const records = plain.map((row) => toRecord(row, [], false));
  await db.records.bulkPut(records);
  await dropCarried(db, records);
  await refold(db, changes, keep);
}

/**
 * A row holds all that the server had applied when it answered, so own ops leave the top of
 * the records that have come; of the others only when all have.
 */
async function showPage(db: HouseholdDatabase, { rows, mark, more }: ChangesReply): Promise<void> {
  await showRows(db, rows, (op, row) => !isIn(op, more && !row ? -1 : mark.seq), !more);
}

/** Own ops by record: queued again and not sent before the pull ended, they are in no row any more. */
async function unsentByRid(db: HouseholdDatabase): Promise<Map<string, StoredOp[]>> {
  const byRid = new Map<string, StoredOp[]>();
  for (const op of await unsent(db)) byRid.set(op.rid, [...(byRid.get(op.rid) ?? []), op]);
  return byRid;
}

/** Lays the own ops that are on top of what is shown onto the hidden set, and shows that one. */
async function swap(
  db: HouseholdDatabase,
  { cursor, mark }: ChangesReply,
  reason: SyncState['reason'],
): Promise<void> {
  const before = reason ? await rowsShown(db) : [];
  const rids = [...(await overlaidRids(db))];
  const overlaid = (await db.records.bulkGet(rids)).filter((record) => record !== undefined);
  const found = await db.hidden.bulkGet(rids);
  await db.base.clear();
  await db.base.bulkPut(found.flatMap((record) => (record ? [toRow(record)] : [])));
  await db.hidden.bulkPut(
    overlaid.map(({ over, based, ...shown }, index) => {
      const row = found[index];
      return { ...(row ?? shown), pending: true, over, ...(row ? { based: true as const } : {}) };
    }),
  );
  const set = db.hidden.name as HouseholdDatabase['shown'];
  await db.pointer.put({ key: 'shown', set });
  // For the rest of this transaction; look() puts it back if that fails.
  db.shown = set;
  const changes = new Map<string, Change>(rids.map((rid) => [rid, {}]));
  // A child that only this phone has keeps its owner alive here.
  for (const { owner } of overlaid) if (owner && !changes.has(owner)) changes.set(owner, {});
  for (const [rid, add] of await unsentByRid(db)) changes.set(rid, { add });
  await refold(db, changes, (op) => !isIn(op, cursor));
  if (reason) await noteLosses(db, before, { reason, role: mark.role });
}

async function takePage(db: HouseholdDatabase, reply: ChangesReply): Promise<void> {
  const position = await readPosition(db);
  const next: SyncState = { ...position, mark: reply.mark, cursor: reply.cursor };
  if (position.filling) {
    await db.hidden.bulkPut(reply.rows.map((row) => toRecord(row, [], false)));
    if (!reply.more) await swap(db, reply, position.reason);
  } else await showPage(db, reply);
  if (!reply.more) {
    next.covered = reply.cursor;
    next.filling = false;
    next.reason = null;
    next.completed_at = Date.now();
  }
  await db.meta.put(next);
}

/** False if the phone stands elsewhere by now: the page is dropped, and asked for again. */
async function store(
  db: HouseholdDatabase,
  reply: ChangesReply,
  asked: SyncState,
): Promise<boolean> {
  // While the hidden set is being filled, what is shown can be read and written all the time.
  const isAside = asked.filling && reply.more;
  const tables = isAside
    ? [db.meta, db.pointer, db.hidden]
    : [db.meta, db.pointer, db.ops, db.base, db.rows_a, db.rows_b, db.lost];
  const aside = db.hidden;
  try {
    return await db.transaction('rw', tables, async () => {
      const [position] = await Promise.all([readPosition(db), db.look()]);
      if (!isSamePosition(asked, position) || (isAside && db.hidden !== aside)) return false;
      await takePage(db, reply);
      return true;
    });
  } catch (error) {
    await db.look().catch(() => undefined);
    throw error;
  }
}

/** What another set has replaced: kept until the next round, for a tab that still reads it. */
async function dropOld(db: HouseholdDatabase): Promise<void> {
  await db.transaction('rw', [db.pointer, db.rows_a, db.rows_b], async () => {
    await db.look();
    if ((await db.hidden.count()) > 0) await db.hidden.clear();
  });
}

/**
 * Pulls page after page. While one is being stored, the next is under way, asked for from
 * where that one ends: it counts only if the store has come to stand exactly there.
 *
 * over: the server no longer knows the mark, and own ops must be pushed before the next pull.
 */
export async function pullAll(
  { db, household }: Context,
  server: SyncServer,
  isAlive: () => void,
): Promise<'done' | 'over'> {
  let position = await readPosition(db);
  if (!position.filling) await dropOld(db);
  let storing = Promise.resolve(true);
  try {
    for (;;) {
      isAlive();
      const { cursor, mark } = position;
      const asked_at = Date.now();
      const fetching = withMark(db, mark, () => server.changes(household, cursor, mark));
      await Promise.allSettled([fetching, storing]);
      const [reply, stored] = [await fetching, await storing];
      if (!stored) {
        // Another tab or a restore came between.
        [position, storing] = [await readPosition(db), Promise.resolve(true)];
        continue;
      }
      if (!reply) return 'over';
      setClockOffset(reply.server_time - (asked_at + Date.now()) / 2);
      storing = store(db, reply, position);
      if (!reply.more && (await storing)) return 'done';
      position = { ...position, cursor: reply.cursor, mark: reply.mark };
    }
  } finally {
    // Whatever ends the pull: what is being stored must not fail unseen afterwards.
    await storing.catch(() => undefined);
  }
}
