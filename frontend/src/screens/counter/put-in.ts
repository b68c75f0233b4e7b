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
import { slotId } from '../../domain/ids';
import type { WeighIn } from '../../domain/kinds';
import { takings, type Shelves } from '../stores/larder';

export interface Weighed {
  readonly batch: string;
  readonly food: string;
  readonly mass_g: number;
  /** ISO instant, of the weigh-in and of what it takes from store. */
  readonly at: string;
}

/** The movement by which a put-in takes from a lot: its id ties the two. */
function movementId(putIn: string, lot: string): string {
  return slotId('put_in', putIn, lot);
}

/** Whether an id was computed, not drawn: a UUID of version 8. */
function isComputed(id: string): boolean {
  return id.charAt(14) === '8';
}

/** Saves one put-in at once, and takes its mass from the lots it comes from: all of it, or none. */
export async function putIn(larder: Shelves, weighed: Weighed): Promise<string> {
  const { batch, food, mass_g, at } = weighed;
  const taken = takings(larder, food, mass_g);
  return transact(async () => {
    const lot = taken[0]?.of ?? null;
    const rid = await create('weigh_in', { batch, food, mass_g, at, lot });
    for (const { of, mass_g: part_g } of taken) {
      const used = { of, what: 'used' as const, mass_g: part_g, at, batch };
      await create('movement', used, movementId(rid, of));
    }
    return rid;
  });
}

/** How what a put-in took from store is found again. */
export type PutIn = Pick<WeighIn, 'batch' | 'food' | 'at'>;

/** What a put-in took from store, whether it was taken back since or not. */
async function takenBy(rid: string, { batch, food, at }: PutIn): Promise<Rec<'movement'>[]> {
  const movements = await records('movement', {
    from: at,
    to: at,
    gone: true,
    where: (movement) => movement.batch === batch && movement.at === at && movement.what === 'used',
  });
  const own = [];
  for (const movement of movements) {
    const { of } = movement.values;
    // Those of earlier builds have ids that say nothing: there the second and the food must do.
    const isOwn = isComputed(movement.rid)
      ? movement.rid === movementId(rid, of)
      : (await record('lot', of))?.values.food === food;
    if (isOwn) own.push(movement);
  }
  return own;
}

/**
 * Brings the stores in line with a put-in after it came or went: it takes the same from store once
 * more, or gives it back. Part of the transaction in which it does.
 */
export async function settlePutIn(rid: string, said: PutIn): Promise<void> {
  const isGone = (await record('weigh_in', rid))?.gone ?? true;
  for (const movement of await takenBy(rid, said)) {
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
