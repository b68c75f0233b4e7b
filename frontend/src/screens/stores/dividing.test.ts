import { beforeEach, describe, expect, it } from 'vitest';
import { create } from '../../db/store.svelte';
import { ModelServer } from '../../test/model-server';
import { Phone } from '../../test/phone';
import { divide } from './dividing';
import { readLarder } from './larder';
import type { Thaw } from './stock-list';

const AT = '2026-11-21T08:00:00Z';
let phone: Phone;
let large: string;

/** What lies thawed in the larger packs, and in those divided from them. */
async function thaws(): Promise<{ left: readonly Thaw[]; divided: readonly Thaw[] }> {
  const { lots } = await readLarder();
  const of = (isLarge: boolean) =>
    lots.find(({ rec }) => (rec.rid === large) === isLarge)?.stock.thaws ?? [];
  return { left: of(true), divided: of(false) };
}

async function divideOff(taken_g: number, waste_g: number): Promise<void> {
  const [lot] = (await readLarder()).lots;
  if (!lot) throw new Error('nothing is in store');
  await divide(lot, { taken_g, waste_g, into: { pack_mass_g: 250 }, at: AT });
}

beforeEach(async () => {
  phone = await Phone.open(new ModelServer());
  await phone.do(async () => {
    large = await create('lot', { food: 'usda-13321', pack_mass_g: 2000, place: 'freezer' });
    const movement = { of: large } as const;
    await create('movement', { ...movement, what: 'stored', mass_g: 6000, at: AT });
    const thawed = { ...movement, what: 'thawed', mass_g: 1000 } as const;
    await create('movement', { ...thawed, at: '2026-11-19T08:00:00Z', way: 'fridge' });
    await create('movement', { ...thawed, at: '2026-11-20T08:00:00Z', way: 'cold_water' });
  });
});

describe('what is divided', () => {
  it('stays thawed, since when and how it was, where it had thawed', async () => {
    await phone.do(async () => {
      await divideOff(1500, 0);
      expect(await thaws()).toEqual({
        left: [{ since: '2026-11-20T08:00:00Z', mass_g: 500, way: 'cold_water' }],
        divided: [
          { since: '2026-11-19T08:00:00Z', mass_g: 1000, way: 'fridge' },
          { since: '2026-11-20T08:00:00Z', mass_g: 500, way: 'cold_water' },
        ],
      });
    });
  });

  it('is thawed no further than it was', async () => {
    await phone.do(async () => {
      await divideOff(5000, 200);
      const { left, divided } = await thaws();
      expect(left).toEqual([]);
      expect(divided.map(({ mass_g }) => mass_g)).toEqual([1000, 1000]);
    });
  });
});
