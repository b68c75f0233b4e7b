/** After a restore of the server: what this phone showed and the server no longer has. */

import { sameValue } from '../../domain/canonical.ts';
import { headEntries } from '../../domain/fold.ts';
import type { Row } from '../../domain/protocol.ts';
import { overlaidRids } from '../refold.ts';
import type { HouseholdDatabase, LostRow } from '../schema.ts';

function lostRegisters(old: Row, now: Row): string[] {
  return Object.keys(old.values).filter((register) => {
    const heads = new Set(headEntries(now, register).map(([op]) => op));
    const isKept = headEntries(old, register).some(([op]) => heads.has(op));
    return !isKept && !sameValue(old.values[register], now.values[register]);
  });
}

/** Lists every such record or value; it stays listed until somebody puts it back or lets it go. */
export async function noteLosses(db: HouseholdDatabase, fresh: readonly Row[]): Promise<void> {
  const now = new Map(fresh.map((row) => [row.rid, row]));
  const overlaid = await overlaidRids(db);
  const losses: LostRow[] = [];
  await db.base.each((old) => {
    if (old.gone) return;
    const row = now.get(old.rid);
    const { rid, entity } = old;
    if (!row && !overlaid.has(rid)) losses.push({ rid, entity, row: old, registers: null });
    const registers = row ? lostRegisters(old, row) : [];
    if (registers.length > 0) losses.push({ rid, entity, row: old, registers });
  });
  await db.lost.bulkPut(losses);
}
