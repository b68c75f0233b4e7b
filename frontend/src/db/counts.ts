/** Keeps the figures behind the mark in step with the store. */

import { liveQuery, type Collection } from 'dexie';
import { preferenceId } from '../domain/ids.ts';
import { current, type Context } from './context.ts';
import type { OpState, StoredOp } from './schema.ts';
import { undecided } from './read.ts';
import { app, reportError } from './state.svelte.ts';
import { isHeld, OPEN, unsent } from './sync/push.ts';
import { readPosition } from './sync/position.ts';

interface Counts {
  waiting: number;
  held: number;
  refused: number;
  conflicts: number;
  lost: number;
  syncedAt: number | null;
  standard: string | null;
}

/** What the household has chosen, from its one record of choices. */
async function chosenStandard({ db, household }: Context): Promise<string | null> {
  const row = await db.records.get(preferenceId(household));
  const chosen = row && !row.gone ? row.values['standard'] : null;
  return typeof chosen === 'string' ? chosen : null;
}

/** One count per state: the browser counts an index by itself, but walks through a set of keys. */
async function countOpen(with_: (state: OpState) => Collection<StoredOp, string>): Promise<number> {
  const counts = await Promise.all(OPEN.map((state) => with_(state).count()));
  return counts.reduce((sum, each) => sum + each, 0);
}

export async function count(context: Context): Promise<Counts> {
  const { db, member } = context;
  return db.transaction('r', [db.ops, db.records, db.lost, db.meta], async () => {
    const waiting = await countOpen((state) => db.ops.where('state').equals(state));
    const own = await countOpen((state) => db.ops.where('[author+state]').equals([member, state]));
    // Only where somebody else has written here is it worth reading the entries.
    const open = waiting > own ? await unsent(db) : [];
    const held = open.filter((op) => isHeld(op, member)).length;
    const rejected = await db.ops.where('state').equals('rejected').count();
    const surprises = await db.ops.where('surprise').equals(1).count();
    const clashes = await undecided(context);
    const { completed_at } = await readPosition(db);
    return {
      waiting,
      held,
      refused: rejected + surprises,
      conflicts: clashes.length,
      lost: await db.lost.count(),
      syncedAt: completed_at,
      standard: await chosenStandard(context),
    };
  });
}

export function show(counts: Counts): void {
  Object.assign(app, counts);
}

/** Follows the store until the returned function is called. */
export function followCounts(): () => void {
  // The open context, not the one of the start: a member may be given another role meanwhile.
  const subscription = liveQuery(() => count(current())).subscribe({
    next: show,
    error: reportError,
  });
  return () => {
    subscription.unsubscribe();
  };
}
