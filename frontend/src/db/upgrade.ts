/** Brings the stores of an older build into today's shape. What an op says stays as it is. */

import type { Transaction } from 'dexie';
import type { Row } from '../domain/protocol.ts';
import { toRecord } from './rows.ts';
import type { DeviceState, StoredOp, StoredRecord, SyncState } from './schema.ts';
import { kept } from './sync/queue.ts';

type OldOp = StoredOp & { overlay?: 0 | 1; hash?: string };

async function upgradeOps(transaction: Transaction): Promise<Map<string, StoredOp[]>> {
  const table = transaction.table<OldOp, string>('ops');
  const over = new Map<string, StoredOp[]>();
  const authors = new Set<string>();
  const ops = (await table.toArray()).map(({ overlay, hash, ...op }) => {
    authors.add(op.author);
    if (overlay === 1) over.set(op.rid, [...(over.get(op.rid) ?? []), op]);
    return kept(op);
  });
  await table.bulkPut(ops);
  const device = await transaction.table<DeviceState, string>('meta').get('device');
  if (device) await transaction.table('meta').put({ ...device, authors: [...authors] });
  return over;
}

/**
 * Rows were stored twice, as the server's and as shown. Now `base` keeps the server's only
 * where it differs from what is shown. A pull from nothing that was under way begins again.
 */
export async function toVersion2(transaction: Transaction): Promise<void> {
  const over = await upgradeOps(transaction);
  const base = transaction.table<Row, string>('base');
  const bases = new Map((await base.bulkGet([...over.keys()])).map((row) => [row?.rid, row]));
  const old = await transaction.table<StoredRecord, string>('records').toArray();
  const records = old.map(({ live, clash, pending, closure, ...row }) => {
    const ops = (over.get(row.rid) ?? []).sort((a, b) => a.n - b.n);
    const { day, at, ...plain } = row as Row & { day?: string; at?: string };
    return toRecord(plain, ops, bases.get(row.rid) !== undefined && ops.length > 0);
  });
  await transaction.table('rows_a').bulkPut(records);
  await base.clear();
  await base.bulkPut([...bases.values()].filter((row) => row !== undefined));
  const sync = await transaction.table<SyncState, string>('meta').get('sync');
  if (sync?.filling) await transaction.table('meta').put({ ...sync, cursor: 0 });
  await transaction.table('meta').put({ key: 'generation', value: 2 });
}

/** Rows may say what their entries came to. None does yet. */
export async function toVersion3(transaction: Transaction): Promise<void> {
  await transaction.table('meta').put({ key: 'generation', value: 3 });
}
