/** The steps of a batch at the counter, each with the cautions that were read before it. */
import { edit, transact, type Rec } from '../../db/store.svelte';
import type { Shelves } from '../stores/larder';
import { putIn, type Weighed } from './put-in';
import { withRead } from './read-cautions';

/** Weighing begins, or goes on after more was to be read. */
export async function startWeighing(
  batch: Rec<'batch'>,
  ticked: readonly string[],
  at: string,
): Promise<void> {
  const { stage, cautions } = batch.values;
  await edit(batch, {
    cautions: withRead(cautions, ticked, at),
    ...(stage === 'weighing' ? {} : { stage: 'weighing' as const }),
  });
}

/** Puts a food in. Where no caution was to be read before, weighing begins with the first one. */
export async function putInto(
  batch: Rec<'batch'>,
  larder: Shelves,
  weighed: Omit<Weighed, 'batch'>,
): Promise<void> {
  await transact(async () => {
    if (batch.values.stage === 'planned') await edit(batch, { stage: 'weighing' });
    await putIn(larder, { batch: batch.rid, ...weighed });
  });
}

/** Everything is in: the batch is ground, cooked or mixed. */
export async function mix(
  batch: Rec<'batch'>,
  ticked: readonly string[],
  at: string,
): Promise<void> {
  await edit(batch, { stage: 'mixed', cautions: withRead(batch.values.cautions, ticked, at) });
}
