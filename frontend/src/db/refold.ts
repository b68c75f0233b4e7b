/** Keeps `records`, what the screens read, in step with `base` and the own ops on top of it. */

import { ownerIn } from '../domain/declared.ts';
import { fold, headEntries, pendingOp } from '../domain/fold.ts';
import type { Row, SeenHeads } from '../domain/protocol.ts';
import type { HouseholdDatabase, StoredOp, StoredRecord } from './schema.ts';

function textIn(values: Row['values'], register: string): string | undefined {
  const value = values[register];
  return typeof value === 'string' ? value : undefined;
}

/** For every own head that is not pulled yet: what its author had seen. */
function closureOf(row: Row, overlay: readonly StoredOp[]): StoredRecord['closure'] {
  const closure: Record<string, SeenHeads> = {};
  const heads = new Set(
    Object.keys(row.values).flatMap((name) => headEntries(row, name).map(([op]) => op)),
  );
  for (const op of overlay) if (heads.has(op.op_id)) closure[op.op_id] = op.body.seen;
  return Object.keys(closure).length > 0 ? closure : undefined;
}

export function toRecord(row: Row, overlay: readonly StoredOp[]): StoredRecord {
  const owner = row.owner ?? ownerIn(row.entity, row.values);
  const record: StoredRecord = {
    ...row,
    owner,
    live: row.gone ? 0 : 1,
    clash: Object.keys(row.also).length > 0 ? 1 : 0,
    pending: overlay.some((op) => op.state !== 'applied') ? 1 : 0,
  };
  const day = textIn(row.values, 'day');
  const at = textIn(row.values, 'at');
  const closure = closureOf(row, overlay);
  if (day !== undefined) record.day = day;
  if (at !== undefined) record.at = at;
  if (closure) record.closure = closure;
  return record;
}

/**
 * Whether something alive hangs on the record. Children a role may not see are known
 * only from the server's flag, which counts while the phone holds no child at all.
 */
async function hasLiveChildren(
  db: HouseholdDatabase,
  rid: string,
  base: Row | null,
): Promise<boolean> {
  if ((await db.records.where('[owner+live]').equals([rid, 1]).count()) > 0) return true;
  if (!base?.flags.includes('deleted_but_has_children')) return false;
  return (await db.records.where('[owner+live]').equals([rid, 0]).count()) === 0;
}

export function isDeleted(row: Pick<Row, 'del'> | null | undefined): boolean {
  return Object.keys(row?.del ?? {}).length > 0;
}

async function foldRow(
  db: HouseholdDatabase,
  rid: string,
  base: Row | null,
  overlay: readonly StoredOp[],
): Promise<Row> {
  if (base && overlay.length === 0 && !isDeleted(base)) return base;
  const identity = { rid, entity: overlay[0]?.entity ?? '', owner: null, seq: 0 };
  const ops = overlay.map((op) => pendingOp(op.body));
  return { ...identity, ...fold(base, ops, await hasLiveChildren(db, rid, base)) };
}

async function refoldOne(db: HouseholdDatabase, rid: string): Promise<string | null> {
  const base = (await db.base.get(rid)) ?? null;
  const overlay = await db.ops.where('[rid+overlay]').equals([rid, 1]).sortBy('n');
  const before = await db.records.get(rid);
  if (!base && overlay.length === 0) {
    await db.records.delete(rid);
    return before?.owner ?? null;
  }
  const record = toRecord(await foldRow(db, rid, base, overlay), overlay);
  await db.records.put(record);
  return before?.live === record.live ? null : record.owner;
}

/** Folds these records again, then every owner whose children came or went. */
export async function refold(db: HouseholdDatabase, rids: Iterable<string>): Promise<void> {
  let todo = new Set(rids);
  while (todo.size > 0) {
    const owners = new Set<string>();
    for (const rid of todo) {
      const owner = await refoldOne(db, rid);
      if (owner) owners.add(owner);
    }
    const known = await db.records.bulkGet([...owners]);
    todo = new Set(known.flatMap((row) => (row && isDeleted(row) ? [row.rid] : [])));
  }
}
