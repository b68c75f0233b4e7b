/**
 * Sums carried forward: what all that belongs to a record came to is kept beside the record, so
 * that years of entries need not be read to know it.
 *
 * Worked out and kept in one transaction, and dropped in the transaction that changes the record
 * or anything that belongs to it (see refold.ts): it is right whenever it is there.
 */

import type { Entity } from '../domain/kinds.ts';
import { currentOrNull, type Context } from './context.ts';
import { toRec, type Rec } from './read.ts';
import { childrenOf } from './refold.ts';
import type { StoredRecord } from './schema.ts';

/** What the live records that belong to `rec` come to; undefined: nothing to be kept. */
export type Sum = (rec: Rec, children: readonly Rec[]) => unknown;

/** So many in one transaction: whoever wants to save waits no longer than that. */
const AT_ONCE = 250;

/** Carries the sums of these records forward. Resolves when all of them are on the disk. */
export async function carry(rids: readonly string[], sum: Sum): Promise<void> {
  const context = currentOrNull();
  for (let start = 0; start < rids.length; start += AT_ONCE) {
    // Somebody may have signed out meanwhile.
    if (!context || currentOrNull() !== context) return;
    await carryOnce(context, rids.slice(start, start + AT_ONCE), sum);
  }
}

async function carryOnce({ db }: Context, rids: readonly string[], sum: Sum): Promise<void> {
  await db.transaction('rw', [db.pointer, db.rows_a, db.rows_b], async () => {
    await db.look();
    const found = (await db.records.bulkGet([...rids])).filter((row) => row !== undefined);
    const children = await Promise.all(found.map(({ rid }) => childrenOf(db, rid, 1).toArray()));
    const carried = found.flatMap((row, index): StoredRecord[] => {
      const value = sum(
        toRec<Entity>(row),
        (children[index] ?? []).map((child) => toRec(child)),
      );
      return value === undefined ? [] : [{ ...row, carried: value }];
    });
    await db.records.bulkPut(carried);
  });
}
