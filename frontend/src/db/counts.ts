/** Keeps the figures behind the mark in step with the store. */

import { liveQuery } from 'dexie';
import { readDevice } from './batch.ts';
import { current, type Context } from './context.ts';
import { undecided } from './read.ts';
import { app, reportError } from './state.svelte.ts';
import { isHeld, unsent } from './sync/queue.ts';
import { readPosition } from './sync/position.ts';

interface Counts {
  waiting: number;
  held: number;
  refused: number;
  conflicts: number;
  lost: number;
  syncedAt: number | null;
  filling: boolean;
  /** The order in which counting began. */
  ticket: number;
}

let issued = 0;
let shownTicket = 0;

/** A place in the order of counts and writes: what begins later sees what began before. */
export function nextTicket(): number {
  return (issued += 1);
}

export async function count(context: Context): Promise<Counts> {
  const { db, member } = context;
  const ticket = nextTicket();
  const tables = [db.ops, db.rows_a, db.rows_b, db.lost, db.meta, db.pointer];
  return db.transaction('r', tables, async () => {
    const [{ authors }, { completed_at, filling }, waiting, rejected, surprises, lost] =
      await Promise.all([
        readDevice(context),
        readPosition(db),
        db.ops.orderBy('due').count(),
        db.ops.where('closed').equals('rejected').count(),
        db.ops.where('surprise').equals(1).count(),
        db.lost.count(),
        db.look(),
      ]);
    // Only where somebody else has written here is it worth reading the entries.
    const isShared = waiting > 0 && authors.some((author) => author !== member);
    const held = isShared ? (await unsent(db)).filter((op) => isHeld(op, member)).length : 0;
    const clashes = await undecided(context);
    return {
      waiting,
      held,
      refused: rejected + surprises,
      conflicts: clashes.length,
      lost,
      syncedAt: completed_at,
      filling,
      ticket,
    };
  });
}

/** Counts that began before others already shown may be older: the mark never goes back to them. */
export function show({ ticket, ...counts }: Pick<Counts, 'ticket'> & Partial<Counts>): void {
  if (ticket < shownTicket) return;
  shownTicket = ticket;
  Object.assign(app, counts);
}

/** The household is closed: what is still being counted there is not shown any more. */
export function dropCounts(): void {
  shownTicket = nextTicket();
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
