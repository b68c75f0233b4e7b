/** Taking a lot out of the book with everything that was entered of it, and bringing things back. */
import { record, remove, restore, transact, type Rec } from '../../db/store.svelte';
import type { Larder, Ledgered } from './larder';

/** Takes it away and returns what went with it, in the order in which it went. */
export async function takeLotAway(
  lot: Ledgered<'lot'>,
  larder: Pick<Larder, 'lots'>,
): Promise<readonly Rec[]> {
  // What was divided off another lot goes back to it.
  const divided = larder.lots
    .flatMap(({ movements }) => movements)
    .filter(({ values }) => values.into === lot.rec.rid);
  // Children first: a lot that still owns entries would stay alive.
  const all: Rec[] = [...divided, ...lot.movements, ...lot.counts, lot.rec];
  await transact(async () => {
    for (const rec of all) await remove(rec);
  });
  return all;
}

/**
 * Brings back what was taken away, what went last first, as it stands by now: a record that was read
 * before has not seen its own deletion, and both would stand side by side.
 */
export async function bringBack(taken: readonly Rec[]): Promise<void> {
  await transact(async () => {
    for (const { entity, rid } of [...taken].reverse()) {
      const current = await record(entity, rid);
      if (current) await restore(current);
    }
  });
}
