import { beforeEach, describe, expect, it } from 'vitest';
import { app, create } from '../../db/store.svelte';
import { ModelServer } from '../../test/model-server';
import { INES, Phone } from '../../test/phone';
import { readWeek } from './read-week';

const asked = { week: '2026-W47', zone: 'Europe/Berlin', today: '2026-11-25', tables: null };
let server: ModelServer;
let dog: string;

async function fed(day: string, appetite: 'keen' | 'picked', g: number | null): Promise<void> {
  const meal = await create('meal', { day, at: `${day}T06:30:00Z`, name: 'Breakfast' });
  const what = { food: 'usda-13321', batch: null, bag: null };
  const left = g === null ? null : { g, share: null };
  await create('serving', { meal, dog, what, offered_g: 200, left, appetite });
}

beforeEach(() => {
  server = new ModelServer();
  // Already asked: the test has no browser whose promise could be had.
  app.persisted = false;
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
      const { dogs } = await readWeek(asked);
      const body = dogs[0]?.body;
      expect(dogs[0]?.isWritten).toBe(false);
      expect(body?.appetite.counts).toMatchObject({ keen: 1, picked: 1, not_said: 0 });
      expect(body?.energy).toMatchObject({ offered_g: 400, eaten_g: 340, assumed_share: 0.5 });
      expect(body?.weight.latest_g).toBe(17400);
      expect(body?.stool.counts).toEqual({});
      expect(body?.batches).toHaveLength(1);
      expect(body?.work[INES]).toMatchObject({ fed: 2, batches: 1, weighings: 1, notes: 0 });
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
