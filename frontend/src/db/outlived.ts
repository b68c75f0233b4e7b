/** Records that one person deleted and that live on, because another changed or added something. */

import { headEntries, HAS_CHILDREN } from '../domain/fold.ts';
import { current } from './context.ts';
import { storedRecord, toRec, undecided, type Rec } from './read.ts';
import { childrenOf } from './refold.ts';
import { isDeleted, outlivedDelete } from './rows.ts';
import type { StoredRecord } from './schema.ts';
import { remove, restore, transact } from './write.ts';

/** Who did something, and when (epoch milliseconds). */
export interface Deed {
  readonly by: string;
  readonly at: number;
}

export interface Outlived {
  readonly rec: Rec;
  readonly deleted: Deed;
  /** What the delete had not seen; null if only entries that belong to the record keep it. */
  readonly changed: Deed | null;
  /** The entries that belong to it and are alive, and those that belong to them. */
  readonly dependants: number;
}

function latest(deeds: readonly Deed[]): Deed | null {
  return deeds.reduce<Deed | null>(
    (last, deed) => (last && last.at >= deed.at ? last : deed),
    null,
  );
}

/** The deletes in force, and the values they had not seen. */
function sides(row: StoredRecord): { deleted: Deed | null; changed: Deed | null } {
  const deletes = row.del ?? {};
  const saw = new Set([...Object.values(deletes).flat(), ...Object.keys(deletes)]);
  const heads = Object.keys(row.values).flatMap((register) => headEntries(row, register));
  const deed = ([, at, by]: readonly [string, number, string]): Deed => ({ at, by });
  return {
    deleted: latest(heads.filter(([op]) => op in deletes).map(deed)),
    changed: latest(heads.filter(([op]) => !saw.has(op)).map(deed)),
  };
}

/** Everything alive under a record, the deepest first: in this order all of it can go. */
async function dependantsOf(rid: string): Promise<StoredRecord[]> {
  const children = await childrenOf(current().db, rid, 1).toArray();
  const below = await Promise.all(children.map((child) => dependantsOf(child.rid)));
  return [...below.flat(), ...children];
}

/** For What is waiting. A record kept by an entry that is itself in question is not asked about. */
export async function outlived(): Promise<Outlived[]> {
  const rows = (await undecided(current())).filter((row) => outlivedDelete(row) && isDeleted(row));
  const askedOwners = new Set(rows.map((row) => row.owner));
  const found = await Promise.all(
    rows.map(async (row): Promise<Outlived | null> => {
      const { deleted, changed } = sides(row);
      const isKeptByChild = changed === null && row.flags.includes(HAS_CHILDREN);
      if (!deleted || (isKeptByChild && askedOwners.has(row.rid))) return null;
      const dependants = (await dependantsOf(row.rid)).length;
      return { rec: toRec(row), deleted, changed, dependants };
    }),
  );
  return found.filter((each) => each !== null);
}

/** Deletes a record with all that belongs to it, as one; returns what went, for the undo. */
export async function removeWhole(rid: string): Promise<string[]> {
  return transact(async () => {
    const rids = [...(await dependantsOf(rid)).map((row) => row.rid), rid];
    for (const each of rids) {
      const row = await storedRecord(each);
      // The owner may be gone with the last of its entries.
      if (row?.live === 1) await remove(toRec(row));
    }
    return rids;
  });
}

/** Takes those deletions back, owners first. */
export async function restoreAll(rids: readonly string[]): Promise<void> {
  await transact(async () => {
    for (const rid of [...rids].reverse()) {
      const row = await storedRecord(rid);
      if (row) await restore(toRec(row));
    }
  });
}
