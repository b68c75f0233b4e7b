import { beforeEach, expect, it } from 'vitest';
import { create } from '../../db/store.svelte';
import { signedIn } from '../../test/home';
import { ModelServer } from '../../test/model-server';
import { Phone } from '../../test/phone';
import { addDays, daysAgo } from '../../ui/days';
import { readDogs } from '../plan/eaters';
import { readDay, readTable } from './table';

const HEART = 'usda-13323';
const today = daysAgo(0).slice(0, 10);
let phone: Phone;

beforeEach(async () => {
  phone = await Phone.open(new ModelServer());
  signedIn({ time_zone: 'UTC' });
});

/** A batch of one food in one bag, of which so much was served on a day. */
async function served(number: number, served_g: number, days_ago: number): Promise<string> {
  const at = daysAgo(days_ago);
  const day = addDays(today, -days_ago);
  const dog = await create('dog', { name: `Dog ${String(number)}` });
  const batch = await create('batch', { number, method: 'ground', stage: 'done', made_at: at });
  await create('weigh_in', { batch, food: HEART, mass_g: 500, at });
  const put = { mass_g: 500, count: 1, place: 'fridge' as const, packed_at: at };
  const bag = await create('bag', { batch, ...put });
  const meal = await create('meal', { name: 'Supper', day, at });
  const what = { bag, batch: null, food: null };
  const rid = await create('serving', { meal, dog, what, offered_g: served_g });
  await create('movement', { of: bag, what: 'used', mass_g: served_g, at, serving: rid });
  return batch;
}

it('knows of every batch what went in, and for a day of the batches it may serve', async () => {
  await phone.do(async () => {
    const eatenUp = await served(1, 500, 10);
    const yesterdays = await served(2, 500, 1);
    const inStore = await served(3, 100, 40);
    const of = (table: { weighIns: readonly { values: { batch: string } }[] }) =>
      new Set(table.weighIns.map(({ values }) => values.batch));
    expect(of(await readTable(today))).toEqual(new Set([eatenUp, yesterdays, inStore]));
    expect(of(await readDay(today, null))).toEqual(new Set([yesterdays, inStore]));
    // Scanned, though nothing is left by the book.
    const bag = (await readTable(today)).larder.bags.find(
      ({ rec }) => rec.values.batch === eatenUp,
    );
    expect(of(await readDay(today, bag?.rec.rid ?? null)).has(eatenUp)).toBe(true);
  });
});

it('knows the latest weighing of every dog, archived and long ago', async () => {
  await phone.do(async () => {
    const weigh = (dog: string, mass_g: number, days_ago: number) =>
      create('weighing', { dog, mass_g, at: daysAgo(days_ago) });
    const [here, gone, never] = [
      await create('dog', { name: 'Morag' }),
      await create('dog', { name: 'Tansy', archived: true }),
      await create('dog', { name: 'Pascoe' }),
    ];
    await weigh(here, 7900, 3);
    await weigh(here, 8000, 90);
    await weigh(gone, 17_000, 400);
    await weigh(gone, 17_500, 300);
    const { dogs, latest } = await readDogs();
    expect(dogs.map(({ rid }) => rid).sort()).toEqual([here, never].sort());
    const masses = [here, gone, never].map((dog) => latest.get(dog)?.values.mass_g);
    expect(masses).toEqual([7900, 17_500, undefined]);
  });
});
