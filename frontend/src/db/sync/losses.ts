/** After a restore of the server: what this phone showed and the server no longer has. */

import { sameValue } from '../../domain/canonical.ts';
import { kinds } from '../../domain/declared.ts';
import { headEntries } from '../../domain/fold.ts';
import type { Row } from '../../domain/protocol.ts';
import { toRow } from '../rows.ts';
import type { HouseholdDatabase, LostRow, StoredRecord } from '../schema.ts';

function lostRegisters(old: Row, now: Row): string[] {
  return Object.keys(old.values).filter((register) => {
    const heads = new Set(headEntries(now, register).map(([op]) => op));
    const isKept = headEntries(old, register).some(([op]) => heads.has(op));
    return !isKept && !sameValue(old.values[register], now.values[register]);
  });
}

/** What the server's rows were under what is shown, before others replace them. */
export async function rowsShown(db: HouseholdDatabase): Promise<Row[]> {
  const shown = await db.records.filter(({ over, based }) => !over && !based).toArray();
  return [...shown.map(toRow), ...(await db.base.toArray())];
}

/** Whether only own entries show the record, and none of them made it: they wait for it. */
async function isWaitedFor(db: HouseholdDatabase, { over, based }: StoredRecord): Promise<boolean> {
  if (!over || based) return false;
  const own = await db.ops.bulkGet(over);
  return !own.some((op) => op?.body.new);
}

/**
 * Lists every such record or value that is not shown any more. It stays listed until somebody
 * puts it back or lets it go.
 *
 * Records also after a change of role, for a restore may hide behind one, and without one no
 * record goes: what is deleted stays as such. Values only after a restore: they may have been
 * edited since. What the role may not see is away for that alone.
 */
export async function noteLosses(
  db: HouseholdDatabase,
  before: readonly Row[],
  { reason, role }: { reason: 'restore' | 'role'; role: string },
): Promise<void> {
  const olds = before.filter(
    ({ entity, gone }) => !gone && (kinds[entity]?.see.includes(role) ?? true),
  );
  const shown = await db.records.bulkGet(olds.map(({ rid }) => rid));
  const losses: LostRow[] = [];
  for (const [index, row] of olds.entries()) {
    const { rid, entity } = row;
    const now = shown[index];
    if (!now || (await isWaitedFor(db, now))) losses.push({ rid, entity, row, registers: null });
    else {
      const registers = reason === 'restore' ? lostRegisters(row, now) : [];
      if (registers.length > 0) losses.push({ rid, entity, row, registers });
    }
  }
  await db.lost.bulkPut(losses);
}
