import { beforeEach, expect, it, vi } from 'vitest';
import {
  create,
  record,
  records,
  removeWhole,
  restoreAll,
  transact,
  waiting,
  type Entry,
} from '../../db/store.svelte';
import { daysAgo } from '../../ui/days';
import { signedIn } from '../../test/home';
import { ModelServer } from '../../test/model-server';
import { INES, Phone } from '../../test/phone';
import { putIn } from '../counter/put-in';
import { readLarder, readShelves } from '../stores/larder';
import * as feeding from '../today/feed';
import { sendFixed, settleAll, throwAway } from './settled';

const food = 'usda-05027';
const day = daysAgo(1).slice(0, 10);
let phone: Phone;
let dog: string;
let mealtime: string;

async function inStore_g(): Promise<number> {
  return (await readLarder()).lots.reduce((sum, { stock }) => sum + stock.total_g, 0);
}

async function feedMorag(offered_g: number): Promise<void> {
  const slot = {
    mealtime: (await record('mealtime', mealtime)) ?? null,
    day,
    at: `${day}T05:34:00Z`,
  };
  const what = { food, batch: null, bag: null };
  await feeding.feed(slot, [{ dog, what, offered_g }], await readLarder());
}

async function putInHeart(): Promise<{ batch: string }> {
  const batch = await create('batch', { method: 'ground', stage: 'weighing' });
  const at = `${day}T09:00:00Z`;
  await putIn(await readLarder(), { batch, food, mass_g: 700, at });
  return { batch };
}

async function waitingServing(): Promise<Entry> {
  const entry = (await waiting()).find(({ entity }) => entity === 'serving');
  if (!entry) throw new Error('no serving waits');
  return entry;
}

beforeEach(async () => {
  vi.restoreAllMocks();
  signedIn();
  phone = await Phone.open(new ModelServer(), INES);
  await phone.do(async () => {
    dog = await create('dog', { name: 'Morag' });
    mealtime = await create('mealtime', { name: 'Breakfast', time: '06:30' });
    const of = await create('lot', { food, pack_mass_g: 500, frozen_on: daysAgo(60).slice(0, 10) });
    await create('movement', { of, what: 'stored', mass_g: 1000, at: daysAgo(60) });
  });
  await phone.sync();
});

it('takes out of store what a corrected meal says, no more', async () => {
  await phone.do(() => feedMorag(900));
  expect(await phone.do(inStore_g)).toBe(100);
  const entry = await phone.do(waitingServing);
  await phone.do(() => sendFixed(entry, { offered_g: 190 }));
  expect(await phone.do(inStore_g)).toBe(810);
});

it('puts back in store what a meal that is thrown away had taken', async () => {
  await phone.do(() => feedMorag(190));
  const entry = await phone.do(waitingServing);
  await phone.do(() => throwAway([entry]));
  expect(await phone.do(() => records('serving'))).toEqual([]);
  expect(await phone.do(inStore_g)).toBe(1000);
});

it('keeps a meal whose food could not be put back in store', async () => {
  await phone.do(() => feedMorag(190));
  const entry = await phone.do(waitingServing);
  vi.spyOn(feeding, 'settleServings').mockRejectedValue(new Error('no room'));
  await expect(phone.do(() => throwAway([entry]))).rejects.toThrow();
  await expect(phone.do(() => sendFixed(entry, { offered_g: 100 }))).rejects.toThrow();
  const [serving] = await phone.do(() => records('serving'));
  expect(serving?.values.offered_g).toBe(190);
  expect(await phone.do(inStore_g)).toBe(810);
});

/** A batch that one throws away while the other already weighs in for it. */
it('puts back in store what belonged to a batch that is not wanted, and takes it again', async () => {
  const { batch } = await phone.do(putInHeart);
  const whole = await phone.do(async () => {
    const larder = await readShelves();
    return transact(async () => {
      const rids = await removeWhole(batch);
      await settleAll(rids, larder);
      return rids;
    });
  });
  expect(await phone.do(inStore_g)).toBe(1000);
  await phone.do(async () => {
    const larder = await readShelves();
    await transact(async () => {
      await restoreAll(whole);
      await settleAll(whole, larder);
    });
  });
  expect(await phone.do(inStore_g)).toBe(300);
});

it('puts back in store what a put-in that is thrown away had taken', async () => {
  await phone.do(putInHeart);
  const entry = (await phone.do(waiting)).find(({ entity }) => entity === 'weigh_in');
  if (entry) await phone.do(() => throwAway([entry]));
  expect(await phone.do(() => records('weigh_in'))).toEqual([]);
  expect(await phone.do(inStore_g)).toBe(1000);
});
