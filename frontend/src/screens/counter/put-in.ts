/** Putting food into the bowl and taking it out again, with what it takes from store. */
import { create, record, records, remove, transact } from '../../db/store.svelte';
import { takings, type Larder } from '../stores/larder';

export interface Weighed {
  readonly batch: string;
  readonly food: string;
  readonly mass_g: number;
  /** ISO instant; ties the weigh-in to what it took from store. */
  readonly at: string;
}

/** Saves one put-in at once, and takes its mass from the lots it comes from: all of it, or none. */
export async function putIn(larder: Larder, weighed: Weighed): Promise<string> {
  const { batch, food, mass_g, at } = weighed;
  const taken = takings(larder, food, mass_g);
  return transact(async () => {
    const lot = taken[0]?.of ?? null;
    const rid = await create('weigh_in', { batch, food, mass_g, at, lot });
    for (const { of, mass_g: part_g } of taken) {
      await create('movement', { of, what: 'used', mass_g: part_g, at, batch });
    }
    return rid;
  });
}

/** Takes a put-in back: the weigh-in and what it took from store go together. */
export async function takeOut(batch: string, rid: string): Promise<void> {
  const weighIn = await record('weigh_in', rid);
  if (weighIn === undefined || weighIn.gone) return;
  const { at } = weighIn.values;
  const movements = await records('movement', {
    where: (movement) => movement.batch === batch && movement.at === at,
  });
  await transact(async () => {
    for (const movement of movements) await remove(movement);
    await remove(weighIn);
  });
}
