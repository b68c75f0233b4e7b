import { beforeEach, describe, expect, it } from 'vitest';
import vectors from '../../../../fixtures/vectors/nutrition.json' with { type: 'json' };
import { app, create } from '../../db/store.svelte';
import type { Tables } from '../../domain/tables';
import { ModelServer } from '../../test/model-server';
import { INES, Phone } from '../../test/phone';
import { readWeek } from './read-week';

const asked = {
  week: '2026-W47',
  zone: 'Europe/Berlin',
  today: '2026-11-25',
  tables: null,
  units: 'metric',
} as const;
const tables = { ...vectors.tables, sources: {} } as unknown as Tables;
let server: ModelServer;
let dog: string;

async function fed(
  day: string,
  appetite: 'keen' | 'picked',
  g: number | null,
  food = 'usda-13321',
): Promise<void> {
  const meal = await create('meal', { day, at: `${day}T06:30:00Z`, name: 'Breakfast' });
  const what = { food, batch: null, bag: null };
  const left = g === null ? null : { g, share: null };
  await create('serving', { meal, dog, what, offered_g: 200, left, appetite });
}

beforeEach(() => {
  server = new ModelServer();
  // Already asked: the test has no browser whose promise could be had.
  app.keeping = 'unsaid';
});

describe('a week without a summary', () => {
  it('comes from this phone’s own records, and leaves out other weeks', async () => {
    const phone = await Phone.open(server, INES);
    await phone.do(async () => {
      dog = await create('dog', { name: 'Morag' });
      await fed('2026-11-15', 'keen', 0);
      await fed('2026-11-16', 'picked', 60);
      await fed('2026-11-22', 'keen', null);
      await create('weighing', { dog, at: '2026-11-19T08:00:00Z', mass_g: 17400 });
      // Sunday evening in UTC is Monday in the household.
      await create('observation', {
        dog,
        at: '2026-11-22T23:30:00Z',
        topic: 'stool',
        word: 'firm',
      });
      await create('batch', { method: 'ground', stage: 'done', made_at: '2026-11-20T17:00:00Z' });
      const { dogs, work } = await readWeek(asked);
      const body = dogs[0]?.body;
      expect(dogs[0]?.isWritten).toBe(false);
      expect(body?.appetite.counts).toMatchObject({ keen: 1, picked: 1, not_said: 0 });
      expect(body?.energy).toMatchObject({ offered_g: 400, eaten_g: 340, assumed_share: 0.5 });
      expect(body?.weight.latest_g).toBe(17400);
      expect(body?.stool.counts).toEqual({});
      expect(body?.batches).toHaveLength(1);
      // Over the four weeks to the end of this one.
      expect(work).toEqual({ [INES]: { fed: 3, grinds: 1, weighings: 1 } });
    });
  });

  it('tells of a dog archived since, in the weeks that know of it', async () => {
    const phone = await Phone.open(server, INES);
    await phone.do(async () => {
      dog = await create('dog', { name: 'Morag', archived: true });
      await fed('2026-11-17', 'keen', 0);
      expect((await readWeek(asked)).dogs.map((each) => each.dog.rid)).toEqual([dog]);
      expect((await readWeek({ ...asked, week: '2026-W48' })).dogs).toEqual([]);
    });
  });

  it('calls nothing short or met while half of the food is unknown', async () => {
    const known = tables.foods[0]?.key ?? '';
    const phone = await Phone.open(server, INES);
    await phone.do(async () => {
      dog = await create('dog', { name: 'Morag' });
      await fed('2026-11-16', 'keen', 0, known);
      const before = (await readWeek({ ...asked, tables })).dogs[0]?.body.adequacy;
      expect(before?.counts.short).toBeGreaterThan(0);
      await fed('2026-11-17', 'keen', 0, 'not in any table');
      const after = (await readWeek({ ...asked, tables })).dogs[0]?.body.adequacy;
      expect(after?.counts).toMatchObject({ met: 0, short: 0 });
      expect(after?.sentence).toContain('One of 2 servings not counted.');
    });
  });

  it('says unknown where the tables are not here yet, never nothing', async () => {
    const phone = await Phone.open(server, INES);
    await phone.do(async () => {
      dog = await create('dog', { name: 'Morag' });
      await fed('2026-11-16', 'keen', 0);
      const body = (await readWeek(asked)).dogs[0]?.body;
      expect(body?.energy.eaten_kcal_per_day).toBeNull();
      expect(body?.energy.required_kcal_per_day).toBeNull();
      expect(body?.adequacy.sentence).toContain('Not known');
    });
  });
});
