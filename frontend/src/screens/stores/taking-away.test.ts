import { beforeEach, describe, expect, it } from 'vitest';
import { conflicts, create, record } from '../../db/store.svelte';
import { ModelServer } from '../../test/model-server';
import { Phone } from '../../test/phone';
import { divide } from './dividing';
import { readLarder } from './larder';
import { bringBack, takeLotAway } from './taking-away';

const AT = '2026-11-21T08:00:00Z';
let phone: Phone;
let large: string;
let small: string;

async function masses(): Promise<Record<string, number>> {
  const { lots } = await readLarder();
  return Object.fromEntries(lots.map(({ rec, stock }) => [rec.rid, stock.total_g]));
}

async function takeSmallAway() {
  const larder = await readLarder();
  const lot = larder.lots.find(({ rec }) => rec.rid === small);
  if (!lot) throw new Error('the small packs are not there');
  return takeLotAway(lot, larder);
}

beforeEach(async () => {
  phone = await Phone.open(new ModelServer());
  await phone.do(async () => {
    large = await create('lot', { food: 'usda-13321', pack_mass_g: 2000, place: 'freezer' });
    await create('movement', { of: large, what: 'stored', mass_g: 4000, at: AT });
    const [lot] = (await readLarder()).lots;
    if (!lot) throw new Error('nothing is in store');
    small = await divide(lot, { taken_g: 1000, waste_g: 0, into: { pack_mass_g: 250 }, at: AT });
  });
});

describe('a lot taken out of the book', () => {
  it('gives back what was divided off for it', async () => {
    await phone.do(async () => {
      await takeSmallAway();
      expect(await masses()).toEqual({ [large]: 4000 });
    });
  });

  it('comes back whole, and nobody is asked whether it was meant', async () => {
    await phone.do(async () => {
      const taken = await takeSmallAway();
      await bringBack(taken);
      expect(await masses()).toEqual({ [large]: 3000, [small]: 1000 });
      const back = await Promise.all(taken.map(({ entity, rid }) => record(entity, rid)));
      expect(back.map((rec) => rec && { gone: rec.gone, flags: rec.flags })).toEqual(
        taken.map(() => ({ gone: false, flags: [] })),
      );
      expect(await conflicts()).toEqual([]);
    });
  });
});
