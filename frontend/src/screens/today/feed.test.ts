import { beforeEach, describe, expect, it } from 'vitest';
import { conflicts } from '../../db/read';
import { create, mealId, record, records, servingId } from '../../db/store.svelte';
import type { Serving } from '../../domain/kinds';
import { signedIn } from '../../test/home';
import { ModelServer } from '../../test/model-server';
import { CALLUM, HOUSEHOLD, INES, Phone } from '../../test/phone';
import { readLarder } from '../stores/larder';
import { knewNow } from '../stores/stock-list';
import { changeServings, extraAt, feed, moveMeal, takeBackMeal, type MealSlot } from './feed';
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

/** A small old lot and a large fresh one of the same food, and bowls for two dogs. */
async function twoLots() {
  const food = 'usda-05027';
  const lotOf = async (mass_g: number, frozen_on: string): Promise<string> => {
    const lot = await create('lot', { food, pack_mass_g: 500, frozen_on });
    const at = `${frozen_on}T08:00:00Z`;
    await create('movement', { of: lot, what: 'stored', mass_g, at });
    return lot;
  };
  const lots = [await lotOf(200, '2026-09-01'), await lotOf(900, '2026-10-01')];
  const dogs = [dog, await create('dog', { name: 'Tansy' })];
  return {
    of: { food, batch: null, bag: null },
    bowls: (what: Serving['what'], offered_g: number) =>
      dogs.map((each) => ({ dog: each, what, offered_g })),
    left_g: async () => {
      const left = (await readLarder()).lots.map(
        (lot) => [lot.rec.rid, lot.stock.total_g] as const,
      );
      return lots.map((lot) => new Map(left).get(lot));
    },
  };
}

beforeEach(() => {
  server = new ModelServer();
  signedIn();
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
      const changes = { offered_g: 150, left: { g: 20 } };
      await changeServings([{ serving, changes }], await readLarder());
      expect(await stock_g()).toBe(850);
    });
  });

  it('leaves a count as it is when an amount is changed that was fed before it', async () => {
    const phone = await Phone.open(server, INES);
    await start(phone);
    await phone.do(async () => {
      await feedMorag('2026-10-14T05:34:00Z');
      const thing = (await readLarder()).bags.find((each) => each.rec.rid === bag);
      const knew = knewNow(thing?.movements ?? [], []);
      await create('count', { of: bag, counted_g: 800, knew, at: '2026-10-14T18:00:00Z' });
      for (const offered_g of [150, 230, 190]) {
        const [serving] = (await mealsBetween(day, day))[0]?.servings ?? [];
        if (!serving) throw new Error('the serving is missing');
        await changeServings([{ serving, changes: { offered_g } }], await readLarder());
        expect(await stock_g()).toBe(800);
      }
    });
  });

  it('takes nothing more from any lot either, once the lot that filled the bowl was counted', async () => {
    const phone = await Phone.open(server, INES);
    await start(phone);
    await phone.do(async () => {
      const food = 'usda-05027';
      const lotOf = async (frozen_on: string): Promise<string> => {
        const of = await create('lot', { food, pack_mass_g: 500, frozen_on });
        await create('movement', { of, what: 'stored', mass_g: 1000, at: '2026-09-01T08:00:00Z' });
        return of;
      };
      const thaw = async (of: string, at: string): Promise<string> =>
        create('movement', { of, what: 'thawed', mass_g: 500, at });
      const [old, fresh] = [await lotOf('2026-08-01'), await lotOf('2026-08-20')];
      await thaw(fresh, '2026-10-12T18:00:00Z');
      const what = { food, batch: null, bag: null };
      const at = '2026-10-14T05:34:00Z';
      await feed(await slotAt(at), [{ dog, what, offered_g: 190 }], await readLarder());
      const knew = (await records('movement', { owner: fresh })).map(({ rid }) => rid);
      await create('count', { of: fresh, counted_g: 800, knew, at: '2026-10-14T18:00:00Z' });
      await thaw(old, '2026-10-15T18:00:00Z');
      for (const offered_g of [150, 230]) {
        const [serving] = (await mealsBetween(day, day))[0]?.servings ?? [];
        if (!serving) throw new Error('the serving is missing');
        await changeServings([{ serving, changes: { offered_g } }], await readLarder());
        const { lots } = await readLarder();
        const left = new Map(lots.map(({ rec, stock }) => [rec.rid, stock.total_g]));
        expect([left.get(old), left.get(fresh)]).toEqual([1000, 800]);
      }
    });
  });

  it('finds what a serving took out however the meal was moved since', async () => {
    const phone = await Phone.open(server, INES);
    await start(phone);
    await phone.do(async () => {
      const bowl = { dog, what: { food: null, batch: null, bag }, offered_g: 190 };
      const at = '2026-10-14T05:34:00Z';
      for (const slot of [await slotAt(at), extraAt(at)]) {
        const rid = await feed(slot, [bowl], await readLarder());
        expect(await stock_g()).toBe(810);
        const meal = await record('meal', rid);
        if (meal) await moveMeal(meal, '2026-10-23T05:34:00Z');
        const [found] = (await mealsBetween(day, day)).filter((each) => each.meal.rid === rid);
        const serving = found?.servings[0];
        if (!found || !serving) throw new Error('the serving is missing');
        await changeServings([{ serving, changes: { offered_g: 150 } }], await readLarder());
        expect(await stock_g()).toBe(850);
        await takeBackMeal(found);
        expect(await stock_g()).toBe(1000);
      }
    });
  });

  it('takes the second bowl from what the first has left, the oldest lot first', async () => {
    const phone = await Phone.open(server, INES);
    await start(phone);
    await phone.do(async () => {
      const { of, left_g, bowls } = await twoLots();
      await feed(await slotAt('2026-10-14T05:34:00Z'), bowls(of, 150), await readLarder());
      expect(await left_g()).toEqual([0, 800]);
    });
  });

  it('charges what is in no lot to the last one, whichever bowl it fills', async () => {
    const phone = await Phone.open(server, INES);
    await start(phone);
    await phone.do(async () => {
      const { of, left_g, bowls } = await twoLots();
      const third = { dog: await create('dog', { name: 'Pascoe' }), what: of, offered_g: 550 };
      const all = [...bowls(of, 550), third];
      const meal = await feed(await slotAt('2026-10-14T05:34:00Z'), all, await readLarder());
      expect(await left_g()).toEqual([0, -550]);
      const changed = (await records('serving', { owner: meal })).map((serving) => ({
        serving,
        changes: { offered_g: 560 },
      }));
      await changeServings(changed, await readLarder());
      expect(await left_g()).toEqual([0, -580]);
      for (const serving of await records('serving', { owner: meal }))
        await changeServings([{ serving, changes: { offered_g: 550 } }], await readLarder());
      expect(await left_g()).toEqual([0, -550]);
    });
  });

  it('shares out the lots among all bowls that are changed at once', async () => {
    const phone = await Phone.open(server, INES);
    await start(phone);
    await phone.do(async () => {
      const { of, left_g, bowls } = await twoLots();
      const meal = await feed(
        await slotAt('2026-10-14T05:34:00Z'),
        bowls({ ...of, food: null, bag }, 150),
        await readLarder(),
      );
      const servings = await records('serving', { owner: meal });
      const changed = servings.map((serving) => ({ serving, changes: { what: of } }));
      await changeServings(changed, await readLarder());
      expect(await stock_g()).toBe(1000);
      expect(await left_g()).toEqual([0, 800]);
      // What it took is given back first: the old lot is not empty for the bowl that emptied it.
      for (const serving of await records('serving', { owner: meal }))
        await changeServings([{ serving, changes: { offered_g: 160 } }], await readLarder());
      expect(await left_g()).toEqual([0, 780]);
    });
  });

  it('writes down every extra, two in the same minute too', async () => {
    const phone = await Phone.open(server, INES);
    await start(phone);
    await phone.do(async () => {
      const bowl = { dog, what: { food: null, batch: null, bag }, left: { g: 0 } };
      // Of an earlier day the sheet offers noon, whatever was given.
      const slot = extraAt('2026-10-14T11:00:00Z');
      await feed(slot, [{ ...bowl, offered_g: 20 }], await readLarder());
      await feed(slot, [{ ...bowl, offered_g: 35 }], await readLarder());
      const given = (await records('serving')).map(({ values }) => values.offered_g);
      expect(given.sort()).toEqual([20, 35]);
      expect(await stock_g()).toBe(945);
    });
  });

  it('puts an extra under the day of its hour, as the clock of the household has it', () => {
    expect(extraAt('2026-10-13T22:30:00Z').day).toBe('2026-10-13');
    expect(extraAt('2026-10-13T23:30:00Z').day).toBe('2026-10-14');
  });

  it('takes out once where an entry was left of a bowl that is gone', async () => {
    const phone = await Phone.open(server, INES);
    await start(phone);
    await phone.do(async () => {
      const serving = servingId(mealId(HOUSEHOLD, mealtime, day), dog);
      const stray = { of: bag, what: 'used' as const, mass_g: 170, at: '2026-10-14T05:30:00Z' };
      await create('movement', { ...stray, serving });
      expect(await stock_g()).toBe(830);
      await feedMorag('2026-10-14T05:34:00Z');
      expect(await stock_g()).toBe(810);
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
