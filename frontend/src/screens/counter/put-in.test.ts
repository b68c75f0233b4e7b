import { beforeEach, describe, expect, it } from 'vitest';
import { app, create, record, records } from '../../db/store.svelte';
import { ModelServer } from '../../test/model-server';
import { CALLUM, INES, Phone } from '../../test/phone';
import { bringBack } from '../history/put-back';
import { inStore_g, readLarder, takings } from '../stores/larder';
import { inHand } from './look';
import { putIn, takeOut } from './put-in';

const HEART = 'usda-13321';
let server: ModelServer;
let batch: string;
let older: string;
let newer: string;

async function lot(frozen_on: string, mass_g: number): Promise<string> {
  const of = await create('lot', { food: HEART, pack_mass_g: 500, place: 'freezer', frozen_on });
  await create('movement', { of, what: 'stored', mass_g, at: '2026-11-01T08:00:00Z' });
  return of;
}

async function start(phone: Phone): Promise<void> {
  await phone.do(async () => {
    batch = await create('batch', { method: 'ground', stage: 'weighing' });
    newer = await lot('2026-10-02', 1000);
    older = await lot('2026-08-12', 500);
  });
  await phone.sync();
}

async function heart_g(): Promise<number> {
  return inStore_g(await readLarder()).get(HEART) ?? 0;
}

beforeEach(() => {
  server = new ModelServer();
  // Already asked: the test has no browser whose promise could be had.
  app.keeping = 'unsaid';
});

describe('putting in', () => {
  it('writes the weigh-in and takes it from the oldest lot first', async () => {
    const phone = await Phone.open(server, INES);
    await start(phone);
    await phone.do(async () => {
      const at = '2026-11-25T09:00:00Z';
      await putIn(await readLarder(), { batch, food: HEART, mass_g: 700, at });
      const [weighed] = await records('weigh_in', { owner: batch });
      expect(weighed?.values).toMatchObject({ food: HEART, mass_g: 700, lot: older });
      const used = await records('movement', { where: ({ what }) => what === 'used' });
      expect(used.map(({ values }) => [values.of, values.mass_g]).sort()).toEqual(
        [
          [older, 500],
          [newer, 200],
        ].sort(),
      );
      expect(await heart_g()).toBe(800);
    });
  });

  it('is taken back as a whole, and a second undo changes nothing', async () => {
    const phone = await Phone.open(server, INES);
    await start(phone);
    await phone.do(async () => {
      const at = '2026-11-25T09:00:00Z';
      const rid = await putIn(await readLarder(), { batch, food: HEART, mass_g: 700, at });
      await takeOut(batch, rid);
      await takeOut(batch, rid);
      expect(await records('weigh_in', { owner: batch })).toEqual([]);
      expect(await heart_g()).toBe(1500);
    });
  });

  it('comes out of store again when its history brings it back', async () => {
    const phone = await Phone.open(server, INES);
    await start(phone);
    await phone.do(async () => {
      const at = '2026-11-25T09:00:00Z';
      const rid = await putIn(await readLarder(), { batch, food: HEART, mass_g: 700, at });
      await takeOut(batch, rid);
      const gone = await record('weigh_in', rid);
      if (gone) await bringBack(gone);
      expect(await records('weigh_in', { owner: batch })).toHaveLength(1);
      expect(await heart_g()).toBe(800);
    });
  });

  it('is taken back alone, whatever else was entered in the same second', async () => {
    const phone = await Phone.open(server, INES);
    await start(phone);
    await phone.do(async () => {
      const at = '2026-11-25T09:00:00Z';
      const tripe = await create('lot', { food: 'usda-13341', pack_mass_g: 500 });
      await create('movement', {
        of: tripe,
        what: 'stored',
        mass_g: 500,
        at: '2026-11-01T08:00:00Z',
      });
      const rid = await putIn(await readLarder(), { batch, food: HEART, mass_g: 700, at });
      await putIn(await readLarder(), { batch, food: 'usda-13341', mass_g: 200, at });
      await create('movement', { of: newer, what: 'discarded', mass_g: 100, at, batch });
      await takeOut(batch, rid);
      expect(await heart_g()).toBe(1400);
      expect(inStore_g(await readLarder()).get('usda-13341')).toBe(300);
    });
  });

  it('is taken back alone, when the same food was put in twice in one second', async () => {
    const phone = await Phone.open(server, INES);
    await start(phone);
    await phone.do(async () => {
      const at = '2026-11-25T09:00:00Z';
      const rid = await putIn(await readLarder(), { batch, food: HEART, mass_g: 300, at });
      const other = await putIn(await readLarder(), { batch, food: HEART, mass_g: 100, at });
      await takeOut(batch, rid);
      expect(await heart_g()).toBe(1400);
      const gone = await record('weigh_in', rid);
      if (gone) await bringBack(gone);
      expect(await heart_g()).toBe(1100);
      await takeOut(batch, other);
      expect(await heart_g()).toBe(1200);
    });
  });

  it('of an earlier build, whose ids say nothing, is taken back by its second and food', async () => {
    const phone = await Phone.open(server, INES);
    await start(phone);
    await phone.do(async () => {
      const at = '2026-11-25T09:00:00Z';
      const earlier = { batch, food: HEART, mass_g: 300, at, lot: older };
      const rid = await create('weigh_in', earlier);
      await create('movement', { of: older, what: 'used', mass_g: 300, at, batch });
      await putIn(await readLarder(), { batch, food: HEART, mass_g: 100, at });
      await takeOut(batch, rid);
      expect(await heart_g()).toBe(1400);
    });
  });

  it('adds up when two people weigh in at one counter', async () => {
    const ines = await Phone.open(server, INES);
    const callum = await Phone.open(server, CALLUM);
    await start(ines);
    await callum.sync();
    await ines.do(async () => {
      const at = '2026-11-25T09:00:00Z';
      await putIn(await readLarder(), { batch, food: HEART, mass_g: 300, at });
    });
    await callum.do(async () => {
      const at = '2026-11-25T09:00:10Z';
      await putIn(await readLarder(), { batch, food: HEART, mass_g: 200, at });
    });
    await ines.sync();
    await callum.sync();
    await ines.sync();
    await ines.do(async () => {
      expect(await records('weigh_in', { owner: batch })).toHaveLength(2);
      expect(await heart_g()).toBe(1000);
    });
  });

  it('needs no store: a food that was never put in store is weighed all the same', async () => {
    const phone = await Phone.open(server, INES);
    await start(phone);
    await phone.do(async () => {
      const at = '2026-11-25T09:00:00Z';
      await putIn(await readLarder(), { batch, food: 'usda-01123', mass_g: 60, at });
      const [weighed] = await records('weigh_in', { owner: batch });
      expect(weighed?.values.lot).toBeNull();
    });
  });
});

describe('takings', () => {
  it('charge what the lots do not hold to the last of them', async () => {
    const phone = await Phone.open(server, INES);
    await start(phone);
    await phone.do(async () => {
      const taken = takings(await readLarder(), HEART, 1600);
      expect(taken).toEqual([
        { of: older, mass_g: 500 },
        { of: newer, mass_g: 1100 },
      ]);
    });
  });

  it('open no frozen pack while a thawed one waits', async () => {
    const phone = await Phone.open(server, INES);
    await start(phone);
    await phone.do(async () => {
      const at = '2026-11-24T20:00:00Z';
      await create('movement', { of: newer, what: 'thawed', mass_g: 500, at });
      expect(takings(await readLarder(), HEART, 300)).toEqual([{ of: newer, mass_g: 300 }]);
    });
  });

  it('take what was thawed of two lots before a frozen pack of either', async () => {
    const phone = await Phone.open(server, INES);
    await start(phone);
    await phone.do(async () => {
      const at = '2026-11-24T20:00:00Z';
      const third = await lot('2026-11-02', 1000);
      for (const of of [newer, third])
        await create('movement', { of, what: 'thawed', mass_g: 500, at });
      expect(takings(await readLarder(), HEART, 1000)).toEqual([
        { of: newer, mass_g: 500 },
        { of: third, mass_g: 500 },
      ]);
      expect(takings(await readLarder(), HEART, 1800)).toEqual([
        { of: newer, mass_g: 800 },
        { of: third, mass_g: 500 },
        { of: older, mass_g: 500 },
      ]);
    });
  });

  it('take what lies fresh in the fridge before what is frozen, however old', async () => {
    const phone = await Phone.open(server, INES);
    await start(phone);
    await phone.do(async () => {
      const values = { food: HEART, pack_mass_g: 500, place: 'fridge' } as const;
      const fresh = await create('lot', { ...values, bought_on: '2026-11-24' });
      const at = '2026-11-24T20:00:00Z';
      await create('movement', { of: fresh, what: 'stored', mass_g: 500, at });
      const larder = await readLarder();
      expect(takings(larder, HEART, 700)).toEqual([
        { of: fresh, mass_g: 500 },
        { of: older, mass_g: 200 },
      ]);
      expect(inHand(larder, HEART)?.rec.rid).toBe(fresh);
    });
  });
});
