/**
 * What one transaction writes, collected and stored together: a hundred entries made as one
 * cost two bulk writes, not a hundred searches.
 */

import Dexie from 'dexie';
import { uuid7 } from '../domain/ids.ts';
import { SCHEMA, type Op, type SeenHeads } from '../domain/protocol.ts';
import { clockOffset, current, type Context } from './context.ts';
import { refold, type Change } from './refold.ts';
import type { DeviceState, StoredOp } from './schema.ts';
import { kept } from './sync/queue.ts';
import { APP_VERSION } from './version.ts';

/** What an entry says; the rest of the op is added when it is written. */
export interface Draft {
  entity: string;
  rid: string;
  new: boolean;
  set: Record<string, unknown>;
  seen: SeenHeads;
  /** The record's id was made just now. */
  isNewId?: boolean;
}

interface Batch {
  context: Context;
  device: DeviceState;
  zone: string;
  ops: StoredOp[];
  newIds: Set<string>;
}

/** More are written out in between: a long import must not pile up in memory. */
const MOST = 1000;

const batches = new WeakMap<object, Batch>();

function open(): Batch | undefined {
  return Dexie.currentTransaction ? batches.get(Dexie.currentTransaction) : undefined;
}

export async function readDevice({ db }: Context): Promise<DeviceState> {
  const known = await db.meta.get('device');
  return known?.key === 'device' ? known : { key: 'device', device_id: uuid7(), n: 0, authors: [] };
}

export interface Stored<T> {
  result: T;
  /** So many entries. */
  appended: number;
  /** Its place among the counts; see nextTicket(). */
  ticket: number;
}

/** Runs `work` in a transaction and stores what it appends; all of it, or nothing. */
export async function collect<T>(work: () => Promise<T>, ticket: number): Promise<Stored<T>> {
  const context = current();
  const { db } = context;
  const tables = [db.meta, db.pointer, db.ops, db.base, db.rows_a, db.rows_b, db.lost];
  // Dexie follows native promises only where the scope itself is an async function.
  return db.transaction('rw', tables, async (transaction) => {
    const [device] = await Promise.all([readDevice(context), db.look()]);
    const { n } = device;
    const zone = Intl.DateTimeFormat().resolvedOptions().timeZone;
    batches.set(transaction, { context, device, zone, ops: [], newIds: new Set() });
    const result = await work();
    await writeOut();
    return { result, appended: device.n - n, ticket };
  });
}

/** Stores what was appended so far: whoever reads in the same transaction calls this first. */
export async function writeOut(): Promise<void> {
  const batch = open();
  if (!batch || batch.ops.length === 0) return;
  const { ops, newIds, device } = batch;
  const { db } = batch.context;
  batch.ops = [];
  batch.newIds = new Set();
  const changes = new Map<string, Change & { add: StoredOp[] }>();
  for (const op of ops) {
    const change = changes.get(op.rid);
    if (change) change.add.push(op);
    else changes.set(op.rid, { add: [op], isNew: newIds.has(op.rid) });
  }
  await db.meta.put({ ...device });
  await db.ops.bulkAdd(ops);
  await refold(db, changes);
}

function toOp({ isNewId: _, ...draft }: Draft, { context, device, zone }: Batch): Op {
  const now = Date.now();
  return {
    op_id: uuid7(now),
    household: context.household,
    device_id: device.device_id,
    n: device.n,
    author: context.member,
    schema: SCHEMA,
    app: APP_VERSION,
    ...draft,
    // A $state proxy cannot be stored; JSON is what travels anyway.
    set: JSON.parse(JSON.stringify(draft.set)) as Op['set'],
    occurred_at: now,
    tz: zone,
    offset_ms: Math.round(clockOffset()),
  };
}

/** An op as this phone keeps it, nothing known of its fate yet. */
export function unsentOp(body: Op): StoredOp {
  const { op_id, n, rid, entity, author } = body;
  return kept({ op_id, n, rid, entity, author, state: 'pending', body });
}

/** Adds an op to the transaction around, which must be one of collect(). */
export async function append(draft: Draft): Promise<Op> {
  const batch = open();
  if (!batch) throw new Error('append() needs transact().');
  const { device, context } = batch;
  device.n += 1;
  if (!device.authors.includes(context.member)) device.authors.push(context.member);
  const op = toOp(draft, batch);
  batch.ops.push(unsentOp(op));
  if (draft.isNewId) batch.newIds.add(op.rid);
  if (batch.ops.length >= MOST) await writeOut();
  // One of Dexie's own promises: after a hundred others in a row it would lose its transaction.
  return Dexie.Promise.resolve(op);
}
