import { beforeEach, describe, expect, it } from 'vitest';
import { app, create } from '../../db/store.svelte';
import { ModelServer } from '../../test/model-server';
import { INES, Phone } from '../../test/phone';
import { readLarder } from '../stores/larder';
import { costOf, dayCost, partOf } from './cost';
import { throwAway } from './look';
import { putIn } from './put-in';

const HEART = 'usda-13321';
const at = '2026-11-25T09:00:00Z';
let phone: Phone;

async function lot(values: object): Promise<string> {
  const of = await create('lot', { food: HEART, pack_mass_g: 500, place: 'freezer', ...values });
  await create('movement', { of, what: 'stored', mass_g: 1000, at: '2026-11-01T08:00:00Z' });
  return of;
}

beforeEach(async () => {
  app.keeping = 'unsaid';
  phone = await Phone.open(new ModelServer(), INES);
});

describe('the cost of a batch', () => {
  it('is the part of the price that went in, without what was thrown away', () =>
    phone.do(async () => {
      const batch = await create('batch', { method: 'ground', stage: 'weighing' });
      const of = await lot({ price: { minor: 800, currency: 'GBP' } });
      await throwAway({ of, mass_g: 200, batch, signs: ['smell'], at });
      await putIn(await readLarder(), { batch, food: HEART, mass_g: 500, at });
      const cost = costOf(await readLarder(), batch, 500);
      // 500 of 1000 g for 8.00.
      expect([...cost.minor]).toEqual([['GBP', 400]]);
      expect(cost.unpriced_g).toBe(0);
      expect(partOf(400, 125, 500)).toBe(100);
    }));

  it('leaves out what has no price and says how much that is', () =>
    phone.do(async () => {
      const batch = await create('batch', { method: 'ground', stage: 'weighing' });
      await lot({});
      await putIn(await readLarder(), { batch, food: HEART, mass_g: 500, at });
      const cost = costOf(await readLarder(), batch, 560);
      expect(cost.minor.size).toBe(0);
      expect(cost.unpriced_g).toBe(560);
    }));

  it('is never more than was paid for the lot', () =>
    phone.do(async () => {
      const batch = await create('batch', { method: 'ground', stage: 'weighing' });
      await lot({ price: { minor: 800, currency: 'GBP' } });
      await putIn(await readLarder(), { batch, food: HEART, mass_g: 1200, at });
      const cost = costOf(await readLarder(), batch, 1200);
      // 8.00 for the 1000 g that were stored.
      expect([...cost.minor]).toEqual([['GBP', 800]]);
      expect(cost.unpriced_g).toBe(200);
    }));

  it('adds up to the coin over the dogs of a day', () => {
    // 1.00 for 300 g, of which three dogs get 100 g each.
    expect(dayCost(100, [100, 100, 100], 300)).toEqual({ all: 100, each: [34, 33, 33] });
    expect(dayCost(1234, [310, 95], 2000)).toEqual({ all: 250, each: [191, 59] });
    expect(dayCost(100, [], 300)).toEqual({ all: 0, each: [] });
  });
});
