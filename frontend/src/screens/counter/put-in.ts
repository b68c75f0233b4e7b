/** Putting food into the bowl and taking it out again, with what it takes from store. */
import {
  create,
  record,
  records,
  remove,
  restore,
  transact,
  type Rec,
} from '../../db/store.svelte';
import type { WeighIn } from '../../domain/kinds';
import { takings, type Shelves } from '../stores/larder';

export interface Weighed {
  readonly batch: string;
  readonly food: string;
  readonly mass_g: number;
  /** ISO instant; ties the weigh-in to what it took from store. */
  readonly at: string;
}

/** Saves one put-in at once, and takes its mass from the lots it comes from: all of it, or none. */
export async function putIn(larder: Shelves, weighed: Weighed): Promise<string> {
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

/** What ties a put-in to what it took from store. */
export type PutIn = Pick<WeighIn, 'batch' | 'food' | 'at'>;

/** What a put-in took from store, whether it was taken back since or not. */
async function takenBy({ batch, food, at }: PutIn): Promise<Rec<'movement'>[]> {
  const movements = await records('movement', {
    from: at,
    to: at,
    gone: true,
    where: (movement) => movement.batch === batch && movement.at === at && movement.what === 'used',
  });
  // Two people at one counter put in within the same second: each food has its own lots.
  const own = [];
  for (const movement of movements)
    if ((await record('lot', movement.values.of))?.values.food === food) own.push(movement);
  return own;
}

/**
 * Brings the stores in line with a put-in after it came or went: it takes the same from store once
 * more, or gives it back. Part of the transaction in which it does.
 */
export async function settlePutIn(rid: string, said: PutIn): Promise<void> {
  const isGone = (await record('weigh_in', rid))?.gone ?? true;
  for (const movement of await takenBy(said)) {
    if (movement.gone === isGone) continue;
    await (isGone ? remove(movement) : restore(movement));
  }
}

/** Takes a put-in back: the weigh-in and what it took from store go together. */
export async function takeOut(batch: string, rid: string): Promise<void> {
  const weighIn = await record('weigh_in', rid);
  if (weighIn === undefined || weighIn.gone) return;
  await transact(async () => {
    await remove(weighIn);
    await settlePutIn(rid, { ...weighIn.values, batch });
  });
}
