/** Where this phone stands in the server's log. Read and changed only inside a transaction. */

import type { Mark } from '../../domain/protocol.ts';
import type { HouseholdDatabase, SyncState } from '../schema.ts';

/** A phone that has pulled nothing yet: its first base, too, is shown only when it is whole. */
export const START: SyncState = {
  key: 'sync',
  mark: null,
  cursor: 0,
  covered: 0,
  filling: true,
  reason: null,
  completed_at: null,
};

export async function readPosition(db: HouseholdDatabase): Promise<SyncState> {
  const known = await db.meta.get('sync');
  return known?.key === 'sync' ? known : START;
}

export function isSameMark(a: Mark | null, b: Mark | null): boolean {
  if (a === null || b === null) return a === b;
  return a.seq === b.seq && a.token === b.token && a.role === b.role;
}

/** A reply counts only where the phone still stands where it stood when it asked. */
export function isSamePosition(a: SyncState, b: SyncState): boolean {
  return isSameMark(a.mark, b.mark) && a.cursor === b.cursor && a.filling === b.filling;
}
