import { beforeEach, describe, expect, it } from 'vitest';
import { app, create } from '../../db/store.svelte';
import { ModelServer } from '../../test/model-server';
import { CALLUM, INES, Phone } from '../../test/phone';
import { finish } from '../duties/entries';
import { readDues } from '../duties/due';
import { readWeek } from './read-week';
import { workSpan, type Work } from './work';

const asked = {
  week: '2026-W48',
  zone: 'Europe/London',
  today: '2026-11-25',
  tables: null,
  units: 'metric',
} as const;
let server: ModelServer;
let ines: Phone;
let callum: Phone;

async function work(): Promise<Work> {
  for (const phone of [ines, callum, ines]) await phone.sync();
  return ines.do(async () => (await readWeek(asked)).work);
}

beforeEach(async () => {
  server = new ModelServer();
  // Already asked: the test has no browser whose promise could be had.
  app.keeping = 'unsaid';
  ines = await Phone.open(server, INES);
  callum = await Phone.open(server, CALLUM);
});

describe('who did what', () => {
  it('counts the twenty-eight days up to the end of the week, or up to today', () => {
    expect(workSpan({ to: '2026-11-22' }, '2026-11-25')).toEqual({
      from: '2026-10-26',
      to: '2026-11-22',
    });
    expect(workSpan({ to: '2026-11-29' }, '2026-11-25').to).toBe('2026-11-25');
  });

  it('counts a pull once for whoever moved packs of it, in the ledger', async () => {
    await ines.do(async () => {
      const of = await create('lot', { food: 'usda-23567', pack_mass_g: 500 });
      const needed_at = '2026-11-24T16:00:00Z';
      const pull = await create('pull', { of, pack_mass_g: 500, packs: 2, needed_at });
      for (const at of ['2026-11-23T18:00:00Z', '2026-11-23T18:01:00Z'])
        await create('movement', { of, what: 'thawed', mass_g: 500, pull, way: 'fridge', at });
      await create('movement', { of, what: 'used', mass_g: 500, at: '2026-11-24T16:00:00Z' });
    });
    expect(await work()).toEqual({ [INES]: { pulls: 1 } });
  });

  it('counts a batch for whoever weighed most of it in, ground ones as grinds', async () => {
    let batch = '';
    await ines.do(async () => {
      batch = await create('batch', {
        method: 'ground',
        stage: 'done',
        made_at: '2026-11-20T17:00:00Z',
      });
      await create('weigh_in', { batch, food: 'a', mass_g: 5000, at: '2026-11-20T16:00:00Z' });
      await create('batch', { method: 'cooked', stage: 'done', made_at: '2026-10-29T12:00:00Z' });
      // The evening before the first day that is counted.
      await create('batch', { method: 'cooked', stage: 'done', made_at: '2026-10-28T23:30:00Z' });
    });
    await ines.sync();
    await callum.sync();
    await callum.do(async () => {
      for (const food of ['b', 'c'])
        await create('weigh_in', { batch, food, mass_g: 100, at: '2026-11-20T16:10:00Z' });
    });
    expect(await work()).toEqual({ [CALLUM]: { grinds: 1 }, [INES]: { batches: 1 } });
  });

  it('counts a duty for whoever did it, not for whose turn it was', async () => {
    await ines.do(async () => {
      await create('rota', {
        what: 'shop',
        starts_on: '2026-11-24',
        time: '18:00',
        repeats: { every_days: 7 },
        turns: [CALLUM],
      });
      const span = { from: '2026-11-24', to: '2026-11-24', today: '2026-11-24', zone: 'UTC' };
      const [due] = await readDues(span);
      if (due) await finish(due, INES, '2026-11-24T18:30:00Z');
      for (const what of ['grind', 'feed', 'pull'] as const)
        await create('duty', { what, done: { at: '2026-11-24T18:30:00Z', by: CALLUM } });
    });
    expect(await work()).toEqual({ [INES]: { duties: 1 }, [CALLUM]: { pulls: 1 } });
  });

  it('counts a meal once, however many dogs ate, and none that was taken back', async () => {
    await callum.do(async () => {
      const dogs = [await create('dog', { name: 'Morag' }), await create('dog', { name: 'Tansy' })];
      const day = '2026-11-24';
      const meal = await create('meal', { day, at: `${day}T06:30:00Z` });
      await create('meal', { day, at: `${day}T17:30:00Z` });
      for (const dog of dogs)
        await create('serving', { meal, dog, what: { food: 'usda-13321' }, offered_g: 200 });
    });
    expect(await work()).toEqual({ [CALLUM]: { fed: 1 } });
  });
});
