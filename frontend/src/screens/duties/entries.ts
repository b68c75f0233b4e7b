/** What people do about a duty. One of a rota is made by the first thing that is done about it. */
import { create, edit, record, remove, restore, transact } from '../../db/store.svelte';
import type { Duty } from '../../domain/kinds';
import type { Due } from './due';

async function change(due: Due, changes: Partial<Duty>): Promise<void> {
  if (due.rec) await edit(due.rec, changes);
  else await make(due, changes);
}

/**
 * Whose turn it is follows from the rota and is not stored: else doing it here and taking it over
 * there, both without the network, would disagree about something that nobody has said.
 */
async function make(due: Due, changes: Partial<Duty>): Promise<void> {
  const { assignee: _, ...values } = due.values;
  await create('duty', { ...values, ...changes }, due.rid);
}

export async function finish(due: Due, by: string, at: string): Promise<void> {
  await change(due, { done: { at, by } });
}

/** Takes it back that a duty was done, as it stands by now. */
export async function unfinish({ rid }: Pick<Due, 'rid'>): Promise<void> {
  const stored = await record('duty', rid);
  if (stored) await edit(stored, { done: null });
}

/** Takes it over, or gives it to somebody. */
export async function assign(due: Due, assignee: string): Promise<void> {
  await change(due, { assignee });
}

/** Each does the other's: both are changed, or neither is. */
export async function swap(one: Due, other: Due): Promise<void> {
  await transact(async () => {
    await change(one, { assignee: other.values.assignee ?? null });
    await change(other, { assignee: one.values.assignee ?? null });
  });
}

/** Takes a duty off the list, this once where it is one of a rota. */
export async function strikeOff(due: Due): Promise<void> {
  await transact(async () => {
    if (!due.rec) await make(due, {});
    const stored = due.rec ?? (await record('duty', due.rid));
    if (stored) await remove(stored);
  });
}

export async function putBackOn({ rid }: Pick<Due, 'rid'>): Promise<void> {
  const stored = await record('duty', rid);
  if (stored) await restore(stored);
}
