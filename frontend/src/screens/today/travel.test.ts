import { beforeEach, describe, expect, it, vi } from 'vitest';
import { app, conflicts, create, mealId, records, remove, servingId } from '../../db/store.svelte';
import { ModelServer } from '../../test/model-server';
import { CALLUM, INES, Phone } from '../../test/phone';
import { nextServed, readTable } from './table';
import {
  comingTravels,
  dryFoods,
  isRawWhileAway,
  missingOfTravel,
  newTravel,
  putTravelBack,
  saveTravel,
  spanWords,
  travelForm,
  travelOn,
} from './travel';

const DAYS = { first: '2026-11-25', last: '2026-11-27' };
let server: ModelServer;
let ines: Phone;
let callum: Phone;
let dry = '';
let mealtime = '';

async function syncAll(): Promise<void> {
  for (const phone of [ines, callum, ines, callum]) await phone.sync();
}

/** What a meal offers on a day. */
async function offered(day: string): Promise<string | null> {
  const what = nextServed(await readTable(day), mealtime, day);
  return what?.food ?? what?.batch ?? null;
}

async function feed(day: string, food: string): Promise<void> {
  const dog = await create('dog', { name: 'Morag' });
  const meal = mealId('household', mealtime, day);
  await create('meal', { mealtime, day, at: `${day}T18:00:00Z` }, meal);
  const values = { meal, dog, what: { food }, offered_g: 200 };
  await create('serving', values, servingId(meal, dog));
}

beforeEach(async () => {
  server = new ModelServer();
  // Already asked: the test has no browser whose promise could be had.
  app.keeping = 'unsaid';
  ines = await Phone.open(server, INES);
  callum = await Phone.open(server, CALLUM);
  await ines.do(async () => {
    dry = await create('food', { name: 'Biscuit for busy days', style: 'dry' });
    await create('food', { name: 'An old biscuit', style: 'dry', archived: true });
    await create('food', { name: 'Tins', style: 'wet' });
    mealtime = await create('mealtime', { name: 'Supper', time: '18:00' });
    await feed('2026-11-24', 'usda-13321');
  });
  await syncAll();
});

describe('travelling', () => {
  it('is the period entered last, whatever the clock of the other phone said', async () => {
    const wet = await ines.do(() => create('food', { name: 'Tins for the train', style: 'dry' }));
    const now = Date.now();
    // His phone is a year ahead: the server takes it for no later than it came.
    vi.useFakeTimers({ toFake: ['Date'], now: now + 365 * 86_400_000 });
    await callum.do(() => saveTravel({ ...DAYS, food: dry }, null));
    vi.setSystemTime(now + 60_000);
    await syncAll();
    vi.setSystemTime(now + 120_000);
    await ines.do(() => saveTravel({ ...DAYS, food: wet }, null));
    await syncAll();
    vi.useRealTimers();
    const latest = await ines.do(async () => travelOn(await records('travel'), DAYS.first));
    expect(latest?.values.food).toBe(wet);
  });

  it('offers the dry food on its days, and afterwards what was fed before', async () => {
    await ines.do(async () => {
      await saveTravel({ ...DAYS, food: dry }, null);
      expect(await offered('2026-11-24')).toBeNull(); // Nothing was fed in the week before.
      expect(await offered('2026-11-25')).toBe(dry);
      await feed('2026-11-25', dry);
      await feed('2026-11-26', dry);
      expect(await offered('2026-11-27')).toBe(dry);
      expect(await offered('2026-11-28')).toBe('usda-13321');
    });
  });

  it('remembers what was fed in its place, since somebody chose that', async () => {
    await ines.do(async () => {
      await saveTravel({ ...DAYS, food: dry }, null);
      await feed('2026-11-26', 'usda-05027');
      expect(await offered('2026-11-28')).toBe('usda-05027');
    });
  });

  it('entered on two phones without network is two periods, and nobody is asked', async () => {
    await ines.do(async () => saveTravel({ ...DAYS, food: dry }, null));
    await callum.do(async () => saveTravel({ ...DAYS, last: '2026-11-29', food: dry }, null));
    await syncAll();
    const seen: (string | undefined)[] = [];
    for (const phone of [ines, callum]) {
      await phone.do(async () => {
        expect(await conflicts()).toEqual([]);
        const travels = await records('travel');
        expect(comingTravels(travels, '2026-11-28')).toHaveLength(1);
        expect(travelOn(travels, '2026-11-29')?.values.days.last).toBe('2026-11-29');
        seen.push(travelOn(travels, '2026-11-26')?.rid);
      });
    }
    expect(seen[0]).toBe(seen[1]);
  });

  it('is changed by the form it was opened with', async () => {
    await ines.do(async () => {
      await saveTravel({ ...DAYS, food: dry }, null);
      const [travel] = await records('travel');
      if (!travel) throw new Error('it was not kept');
      await saveTravel({ ...travelForm(travel.values), last: '2026-11-26' }, travel);
      expect(await offered('2026-11-27')).not.toBe(dry);
      expect(await records('travel')).toHaveLength(1);
    });
  });

  it('is there again as it was when its removal is undone', async () => {
    await ines.do(async () => {
      await saveTravel({ ...DAYS, food: dry }, null);
      const [travel] = await records('travel');
      if (!travel) throw new Error('it was not kept');
      await remove(travel);
      expect(await offered('2026-11-26')).not.toBe(dry);
      await putTravelBack(travel);
      expect(await offered('2026-11-26')).toBe(dry);
    });
  });

  it('is told by its days', () => {
    expect(spanWords(DAYS, '2026-11-25')).toBe('today to Fri');
    expect(spanWords({ ...DAYS, last: DAYS.first }, '2026-11-24')).toBe('tomorrow');
  });

  it('offers only dry food that is in use', async () => {
    await ines.do(async () => {
      const foods = dryFoods(await records('food'));
      expect(foods.map(({ values }) => values.name)).toEqual(['Biscuit for busy days']);
      expect(newTravel('2026-11-25', foods)).toEqual({ ...DAYS, food: dry });
    });
  });

  it('says what is missing before it can be kept', () => {
    expect(missingOfTravel({ ...DAYS, food: dry })).toBeUndefined();
    expect(missingOfTravel({ ...DAYS, first: '', food: dry })).toBe('Both days first');
    expect(missingOfTravel({ ...DAYS, last: '2026-11-24', food: dry })).toContain('not before');
    expect(missingOfTravel({ ...DAYS, food: '' })).toBe('A dry food first');
  });

  it('marks pulls and grinds of its days, and nothing else', async () => {
    await ines.do(async () => {
      await saveTravel({ ...DAYS, food: dry }, null);
      const travels = await records('travel');
      expect(isRawWhileAway('grind', '2026-11-25', travels)).toBe(true);
      expect(isRawWhileAway('pull', '2026-11-27', travels)).toBe(true);
      expect(isRawWhileAway('pull', '2026-11-28', travels)).toBe(false);
      expect(isRawWhileAway('shop', '2026-11-25', travels)).toBe(false);
      expect(isRawWhileAway('grind', null, travels)).toBe(false);
    });
  });
});
