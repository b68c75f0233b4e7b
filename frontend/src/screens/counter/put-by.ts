/** Writes what became of a mixed batch: its yield, and its bags. */
import { create, edit, transact, type Rec } from '../../db/store.svelte';
import { bagId } from '../../domain/ids';
import type { Bagged } from './bagging';

export interface PutBy {
  readonly yield_g: number;
  readonly bagged: readonly Bagged[];
  /** Until when bags keep in each place, YYYY-MM-DD; null when no table says. */
  readonly useBy: Readonly<Record<Bagged['place'], string | null>>;
  readonly at: string;
}

/** Finishes a batch. Two phones that do are of one batch: what they say differently is asked. */
export async function putBy(
  batch: Rec<'batch'>,
  { yield_g, bagged, useBy, at }: PutBy,
): Promise<void> {
  const numbers = { fridge: 0, freezer: 0 };
  await transact(async () => {
    for (const bag of bagged) {
      numbers[bag.place] += 1;
      const rid = bagId(batch.rid, bag.place, numbers[bag.place]);
      const values = { batch: batch.rid, ...bag, packed_at: at, use_by: useBy[bag.place] };
      await create('bag', values, rid);
    }
    await edit(batch, { yield_g, stage: 'done', made_at: at });
  });
}
