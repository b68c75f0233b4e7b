/** Keeps the rows that are shown in step with the server's and the own ops on top of them. */

import { sameValue } from '../domain/canonical.ts';
import { fold, HAS_CHILDREN, pendingOp } from '../domain/fold.ts';
import type { Row } from '../domain/protocol.ts';
import { isDeleted, toRecord, toRow } from './rows.ts';
import type { HouseholdDatabase, StoredOp, StoredRecord } from './schema.ts';

/** What has changed about a record. */
export interface Change {
  /** The server's row, where it has just come. */
  row?: Row;
  /** Own ops that are on top from now on. */
  add?: readonly StoredOp[];
  /** Made just now under a new id: there is nothing to look for. */
  isNew?: boolean;
}

/** Whether an own op still belongs on top; `row` is the server's row if it has just come. */
export type Keep = (op: StoredOp, row: Row | undefined) => boolean;

interface Known {
  before: StoredRecord | undefined;
  base: Row | null;
  overlay: StoredOp[];
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
  const children = (live: 0 | 1) => childrenOf(db, rid, live).count();
  if ((await children(1)) > 0) return true;
  if (!base?.flags.includes(HAS_CHILDREN)) return false;
  return (await children(0)) === 0;
}

/** The records that belong to this one. */
export function childrenOf(db: HouseholdDatabase, rid: string, live: 0 | 1) {
  return db.records.where('[owner+live+entity]').between([rid, live], [rid, live, '\uffff']);
}

function foldRow(rid: string, { base, overlay }: Known, hasChildren: boolean): Row {
  if (base && overlay.length === 0 && !isDeleted(base)) return base;
  const identity = { rid, entity: overlay[0]?.entity ?? '', owner: null, seq: 0 };
  const ops = overlay.map((op) => pendingOp(op.body));
  return { ...identity, ...fold(base, ops, hasChildren) };
}

/** The ids of all records with own ops on top. */
export async function overlaidRids(db: HouseholdDatabase): Promise<Set<string>> {
  return new Set(await db.records.orderBy('over').primaryKeys());
}

/** All that is needed to fold these records, read in as few steps as there are stores. */
async function gather(
  db: HouseholdDatabase,
  changes: ReadonlyMap<string, Change>,
  keep: Keep,
): Promise<Map<string, Known>> {
  const known = new Map<string, Known>();
  const old: string[] = [];
  for (const [rid, { add, isNew }] of changes) {
    if (isNew) known.set(rid, { before: undefined, base: null, overlay: [...(add ?? [])] });
    else old.push(rid);
  }
  if (old.length === 0) return known;
  const befores = await db.records.bulkGet(old);
  const based = befores.flatMap((before) => (before?.based ? [before.rid] : []));
  const overs = befores.flatMap((before) => before?.over ?? []);
  const bases = new Map((await db.base.bulkGet(based)).map((row) => [row?.rid, row]));
  const ops = new Map((await db.ops.bulkGet(overs)).map((op) => [op?.op_id, op]));
  for (const [index, rid] of old.entries()) {
    const { row, add = [] } = changes.get(rid) ?? {};
    const before = befores[index];
    const lying = (before?.over ?? []).flatMap((id) => ops.get(id) ?? []);
    const added = new Set(add.map((op) => op.op_id));
    const overlay = [...lying.filter((op) => !added.has(op.op_id) && keep(op, row)), ...add];
    const isServers = before && !before.over && !before.based;
    const under = isServers ? toRow(before) : bases.get(rid);
    known.set(rid, { before, base: row ?? under ?? null, overlay: overlay.sort(byNumber) });
  }
  return known;
}

function byNumber(a: StoredOp, b: StoredOp): number {
  return a.n - b.n;
}

/** Whether the server's row is to be kept beside the one that is shown. */
function differs(row: Row, { base, overlay }: Known): boolean {
  if (!base) return false;
  return overlay.length > 0 || row.gone !== base.gone || !sameValue(row.flags, base.flags);
}

/** Puts `base` right: it holds the server's rows where something else is shown, no others. */
async function keepBases(
  db: HouseholdDatabase,
  known: ReadonlyMap<string, Known>,
  records: readonly StoredRecord[],
): Promise<void> {
  const based = new Set(records.flatMap((record) => (record.based ? [record.rid] : [])));
  const put: Row[] = [];
  const drop: string[] = [];
  for (const [rid, { before, base }] of known) {
    if (base && based.has(rid)) put.push(base);
    else if (before?.based) drop.push(rid);
  }
  if (drop.length > 0) await db.base.bulkDelete(drop);
  if (put.length > 0) await db.base.bulkPut(put);
}

/** A refused create takes the owner away from what is left of its record. */
function ownersToFold(before: StoredRecord | undefined, record: StoredRecord): string[] {
  if (before?.live === record.live && before.owner === record.owner) return [];
  return [before?.owner, record.owner].filter((owner) => typeof owner === 'string');
}

/** Something that belongs to these owners has changed: what it came to is worked out anew. */
export async function dropCarried(
  db: HouseholdDatabase,
  changed: readonly Pick<Row, 'owner'>[],
): Promise<void> {
  const owners = new Set(changed.flatMap(({ owner }) => owner ?? []));
  const found = owners.size > 0 ? await db.records.bulkGet([...owners]) : [];
  const stale = found.filter((record) => record?.carried !== undefined) as StoredRecord[];
  for (const record of stale) delete record.carried;
  if (stale.length > 0) await db.records.bulkPut(stale);
}

async function refoldOnce(
  db: HouseholdDatabase,
  changes: ReadonlyMap<string, Change>,
  keep: Keep,
): Promise<Set<string>> {
  const known = await gather(db, changes, keep);
  const records: StoredRecord[] = [];
  const orphans: string[] = [];
  const befores: StoredRecord[] = [];
  const owners = new Set<string>();
  for (const [rid, each] of known) {
    const { before, base, overlay } = each;
    if (before) befores.push(before);
    if (!base && overlay.length === 0) {
      orphans.push(rid);
      if (before?.owner) owners.add(before.owner);
      continue;
    }
    let row = foldRow(rid, each, false);
    // Whether a child lives matters to deleted records alone, and costs a query each.
    if (isDeleted(row) && (await hasLiveChildren(db, rid, base))) row = foldRow(rid, each, true);
    const record = toRecord(row, overlay, differs(row, each));
    records.push(record);
    for (const owner of ownersToFold(before, record)) owners.add(owner);
  }
  if (orphans.length > 0) await db.records.bulkDelete(orphans);
  await keepBases(db, known, records);
  await db.records.bulkPut(records);
  await dropCarried(db, [...befores, ...records]);
  return owners;
}

/** Folds these records again, then every owner whose children came or went. */
export async function refold(
  db: HouseholdDatabase,
  changes: ReadonlyMap<string, Change>,
  keep: Keep = () => true,
): Promise<void> {
  let todo = changes;
  while (todo.size > 0) {
    const owners = await refoldOnce(db, todo, keep);
    if (owners.size === 0) return;
    const known = await db.records.bulkGet([...owners]);
    todo = new Map(known.flatMap((row) => (row && isDeleted(row) ? [[row.rid, {}]] : [])));
  }
}
