/** Keeps `records`, what the screens read, in step with `base` and the own ops on top of it. */

import { ownerIn } from '../domain/declared.ts';
import { CHANGED, fold, HAS_CHILDREN, headEntries, pendingOp } from '../domain/fold.ts';
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

/** Deleted by one, and kept alive by what another did: a person has to say which holds. */
export function outlivedDelete(row: Pick<Row, 'gone' | 'flags'>): boolean {
  return !row.gone && (row.flags.includes(CHANGED) || row.flags.includes(HAS_CHILDREN));
}

export function toRecord(row: Row, overlay: readonly StoredOp[]): StoredRecord {
  const owner = row.owner ?? ownerIn(row.entity, row.values);
  const record: StoredRecord = {
    ...row,
    owner,
    live: row.gone ? 0 : 1,
    pending: overlay.length > 0,
  };
  if (Object.keys(row.also).length > 0 || outlivedDelete(row)) record.clash = 1;
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
  if (!base?.flags.includes(HAS_CHILDREN)) return false;
  return (await db.records.where('[owner+live]').equals([rid, 0]).count()) === 0;
}

export function isDeleted(row: Pick<Row, 'del'> | null | undefined): boolean {
  return Object.keys(row?.del ?? {}).length > 0;
}

function foldRow(
  rid: string,
  base: Row | null,
  overlay: readonly StoredOp[],
  hasChildren: boolean,
): Row {
  if (base && overlay.length === 0 && !isDeleted(base)) return base;
  const identity = { rid, entity: overlay[0]?.entity ?? '', owner: null, seq: 0 };
  const ops = overlay.map((op) => pendingOp(op.body));
  return { ...identity, ...fold(base, ops, hasChildren) };
}

/** The own ops on top of a record, in the order they were made. */
function overlayOf(db: HouseholdDatabase, rid: string): Promise<StoredOp[]> {
  return db.ops.where('[overlay+rid]').equals([1, rid]).sortBy('n');
}

/** The ids of all records with own ops on top. */
export async function overlaidRids(db: HouseholdDatabase): Promise<Set<string>> {
  const keys = await db.ops.where('[overlay+rid]').between([1, ''], [1, '\uffff']).keys();
  return new Set((keys as unknown as [number, string][]).map(([, rid]) => rid));
}

async function refoldOnce(db: HouseholdDatabase, rids: readonly string[]): Promise<Set<string>> {
  const [bases, befores, overlays] = await Promise.all([
    db.base.bulkGet([...rids]),
    db.records.bulkGet([...rids]),
    Promise.all(rids.map((rid) => overlayOf(db, rid))),
  ]);
  const records: StoredRecord[] = [];
  const orphans: string[] = [];
  const owners = new Set<string>();
  for (const [index, rid] of rids.entries()) {
    const base = bases[index] ?? null;
    const overlay = overlays[index] ?? [];
    const before = befores[index];
    if (!base && overlay.length === 0) {
      orphans.push(rid);
      if (before?.owner) owners.add(before.owner);
      continue;
    }
    let row = foldRow(rid, base, overlay, false);
    // Whether a child lives matters to deleted records alone, and costs a query each.
    if (isDeleted(row) && (await hasLiveChildren(db, rid, base))) {
      row = foldRow(rid, base, overlay, true);
    }
    const record = toRecord(row, overlay);
    records.push(record);
    if (record.owner && before?.live !== record.live) owners.add(record.owner);
  }
  if (orphans.length > 0) await db.records.bulkDelete(orphans);
  await db.records.bulkPut(records);
  return owners;
}

/** Folds these records again, then every owner whose children came or went. */
export async function refold(db: HouseholdDatabase, rids: Iterable<string>): Promise<void> {
  let todo = [...new Set(rids)];
  while (todo.length > 0) {
    const owners = await refoldOnce(db, todo);
    if (owners.size === 0) return;
    const known = await db.records.bulkGet([...owners]);
    todo = known.flatMap((row) => (row && isDeleted(row) ? [row.rid] : []));
  }
}
