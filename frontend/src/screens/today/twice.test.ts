import { beforeEach, expect, it } from 'vitest';
import { create, record, records } from '../../db/store.svelte';
import { daysAgo } from '../../ui/days';
import { signedIn } from '../../test/home';
import { ModelServer } from '../../test/model-server';
import { CALLUM, INES, Phone } from '../../test/phone';
import { readLarder } from '../stores/larder';
import { feed } from './feed';
import { settleTwice } from './twice';

const food = 'usda-05027';
const what = { food, batch: null, bag: null };
const dayAgo = (count: number): string => daysAgo(count).slice(0, 10);
const day = dayAgo(1);
let phones: readonly [Phone, Phone];
let dog: string;
let mealtime: string;
let fresh: string;

async function lotOf(frozen_on: string): Promise<string> {
  const of = await create('lot', { food, pack_mass_g: 500, frozen_on });
  const at = `${frozen_on}T08:00:00Z`;
  await create('movement', { of, what: 'stored', mass_g: 1000, at });
  return of;
}

async function feedMorag(): Promise<void> {
  const rec = (await record('mealtime', mealtime)) ?? null;
  const slot = { mealtime: rec, day, at: `${day}T05:34:00Z` };
  await feed(slot, [{ dog, what, offered_g: 190 }], await readLarder());
}

async function inStore_g(): Promise<number> {
  return (await readLarder()).lots.reduce((sum, { stock }) => sum + stock.total_g, 0);
}

async function syncAll(): Promise<void> {
  for (const phone of [...phones, ...phones]) await phone.sync();
}

beforeEach(async () => {
  signedIn();
  const server = new ModelServer();
  phones = [await Phone.open(server, INES), await Phone.open(server, CALLUM)];
  await phones[0].do(async () => {
    dog = await create('dog', { name: 'Morag' });
    mealtime = await create('mealtime', { name: 'Breakfast', time: '06:30' });
    await lotOf(dayAgo(60));
    fresh = await lotOf(dayAgo(30));
  });
  await syncAll();
  // Only the first phone knows of the thawed pack, and takes from it.
  await phones[0].do(async () => {
    const at = `${dayAgo(2)}T18:00:00Z`;
    await create('movement', { of: fresh, what: 'thawed', mass_g: 500, at });
    await feedMorag();
  });
  await phones[1].do(feedMorag);
  await syncAll();
});

it('takes a bowl out of store once that two phones took from different lots', async () => {
  // Both phones settle it before they hear of one another.
  for (const phone of phones)
    await phone.do(async () => {
      expect(await inStore_g()).toBe(2000 - 2 * 190);
      await settleTwice();
      expect(await inStore_g()).toBe(2000 - 190);
    });
  await syncAll();
  const left = new Set<string>();
  for (const phone of phones)
    await phone.do(async () => {
      const used = (await records('movement')).filter(({ values }) => values.what === 'used');
      expect(used.map(({ values }) => values.mass_g)).toEqual([190]);
      for (const { rid } of used) left.add(rid);
      expect(await inStore_g()).toBe(2000 - 190);
      const ops = await phone.ops();
      await settleTwice();
      expect(await phone.ops()).toEqual(ops);
    });
  expect(left.size).toBe(1);
});

it('gives the bowl to the lot that was counted since, which nothing is taken off once more', async () => {
  const inLot_g = async (): Promise<number | undefined> =>
    (await readLarder()).lots.find(({ rec }) => rec.rid === fresh)?.stock.total_g;
  await phones[0].do(async () => {
    const knew = (await records('movement', { owner: fresh })).map(({ rid }) => rid);
    await create('count', { of: fresh, counted_g: 800, knew, at: `${day}T18:00:00Z` });
  });
  await syncAll();
  for (const phone of phones) await phone.do(settleTwice);
  await syncAll();
  for (const phone of phones)
    await phone.do(async () => {
      expect(await inLot_g()).toBe(800);
      // All of the other is there: what the count saw gone is where the bowl came from.
      expect(await inStore_g()).toBe(1000 + 800);
    });
});
