import { beforeEach, describe, expect, it } from 'vitest';
import { conflicts } from '../../db/read';
import { app, create, record, records } from '../../db/store.svelte';
import { ModelServer } from '../../test/model-server';
import { CALLUM, HOUSEHOLD, INES, Phone } from '../../test/phone';
import { readLarder } from '../stores/larder';
import { changeServing, feed, takeBackMeal, type MealSlot } from './feed';
import { mealsBetween } from './table';

const day = '2026-10-14';
let server: ModelServer;
let dog: string;
let bag: string;
let mealtime: string;

async function start(phone: Phone): Promise<void> {
  await phone.do(async () => {
    dog = await create('dog', { name: 'Morag' });
    mealtime = await create('mealtime', { name: 'Breakfast', time: '06:30' });
    const batch = await create('batch', { method: 'ground', stage: 'done' });
    bag = await create('bag', {
      batch,
      mass_g: 500,
      count: 2,
      place: 'fridge',
      packed_at: '2026-10-13T18:00:00Z',
    });
  });
  await phone.sync();
}

async function slotAt(at: string): Promise<MealSlot> {
  const rec = await record('mealtime', mealtime);
  if (!rec) throw new Error('the mealtime is not on this phone');
  return { mealtime: rec, day, at };
}

async function stock_g(): Promise<number | undefined> {
  return (await readLarder()).bags.find((each) => each.rec.rid === bag)?.stock.total_g;
}

async function feedMorag(at: string, offered_g = 190): Promise<void> {
  const bowl = { dog, what: { food: null, batch: null, bag }, offered_g };
  await feed(await slotAt(at), [bowl], await readLarder());
}

beforeEach(() => {
  server = new ModelServer();
  // Already asked: the test has no browser whose promise could be had.
  app.persisted = false;
  app.household = {
    id: HOUSEHOLD,
    name: 'Quay Brae',
    role: 'owner',
    member_id: INES,
    time_zone: 'Europe/London',
    units: 'metric',
  };
});

describe('feeding', () => {
  it('writes the meal, its servings and what left the store, and takes all of it back', async () => {
    const phone = await Phone.open(server, INES);
    await start(phone);
    await phone.do(async () => {
      await feedMorag('2026-10-14T05:34:00Z');
      const [meal] = await mealsBetween(day, day);
      expect(
        meal?.servings.map(({ values }) => [values.dog, values.offered_g, values.left]),
      ).toEqual([[dog, 190, null]]);
      expect(await stock_g()).toBe(810);
      if (meal) await takeBackMeal(meal);
      expect(await mealsBetween(day, day)).toEqual([]);
      expect(await stock_g()).toBe(1000);
      await feedMorag('2026-10-14T05:40:00Z', 200);
      expect(await stock_g()).toBe(800);
    });
  });

  it('takes out of store what was really served when an amount is changed', async () => {
    const phone = await Phone.open(server, INES);
    await start(phone);
    await phone.do(async () => {
      await feedMorag('2026-10-14T05:34:00Z');
      const [meal] = await mealsBetween(day, day);
      const serving = meal?.servings[0];
      if (!serving) throw new Error('the serving is missing');
      await changeServing(serving, { offered_g: 150, left: { g: 20 } }, await readLarder());
      expect(await stock_g()).toBe(850);
    });
  });

  it('counts a meal that two phones wrote down once, and asks only what they disagree on', async () => {
    const phones = [await Phone.open(server, INES), await Phone.open(server, CALLUM)] as const;
    await start(phones[0]);
    await phones[1].sync();
    await phones[0].do(() => feedMorag('2026-10-14T05:34:00Z'));
    await phones[1].do(() => feedMorag('2026-10-14T05:36:00Z'));
    for (const phone of [...phones, ...phones]) await phone.sync();
    for (const phone of phones) {
      await phone.do(async () => {
        expect(await records('serving')).toHaveLength(1);
        expect(await stock_g()).toBe(810);
        const asked = (await conflicts()).map((rec) => [rec.entity, Object.keys(rec.also)]);
        expect(asked).toEqual([['meal', ['at']]]);
      });
    }
  });
});
