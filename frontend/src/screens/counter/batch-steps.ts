/** The steps of a batch at the counter, each with the cautions that were read before it. */
import { edit, type Rec } from '../../db/store.svelte';
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

/** Everything is in: the batch is ground, cooked or mixed. */
export async function mix(
  batch: Rec<'batch'>,
  ticked: readonly string[],
  at: string,
): Promise<void> {
  await edit(batch, { stage: 'mixed', cautions: withRead(batch.values.cautions, ticked, at) });
}
