import { beforeEach, describe, expect, it } from 'vitest';
import { app, create, record, records, type Rec } from '../../db/store.svelte';
import type { FoodRow } from '../../domain/tables';
import { ModelServer } from '../../test/model-server';
import { INES, Phone } from '../../test/phone';
import { inStore_g, readLarder } from '../stores/larder';
import { putIn } from './put-in';
import { standIns, stillToGo_g, swapIn, swapped } from './swap';
import { weighLines } from './weigh-in';

const plan = [
  { food: 'heart', mass_g: 600 },
  { food: 'liver', mass_g: 100 },
];
const half = weighLines(plan, [
  { rid: 'a', food: 'heart', mass_g: 250, at: '2026-11-25T09:00:00Z' },
]);

function kind(food: string): FoodRow | null {
  const groups: Record<string, [string, string]> = {
    heart: ['heart', 'variety_meat'],
    'other heart': ['heart', 'variety_meat'],
    kidney: ['kidney', 'variety_meat'],
    carrot: ['vegetable', 'produce'],
  };
  const found = groups[food];
  if (found === undefined) return null;
  const [group, keeping_class] = found;
  const style = group === 'vegetable' ? 'cooked' : 'raw';
  return { key: food, group, keeping_class, style } as FoodRow;
}

beforeEach(() => {
  // Already asked: the test has no browser whose promise could be had.
  app.keeping = 'unsaid';
});

describe('something else in place of a food', () => {
  it('takes over the grams still to go, in the same place of the plan', () => {
    const untouched = weighLines(plan, []);
    expect(swapped(plan, untouched[0], 'kidney')).toEqual([
      { food: 'kidney', mass_g: 600 },
      { food: 'liver', mass_g: 100 },
    ]);
    expect(stillToGo_g(half[0])).toBe(350);
    expect(swapped(plan, half[0], 'kidney')).toEqual([
      { food: 'heart', mass_g: 250 },
      { food: 'kidney', mass_g: 350 },
      { food: 'liver', mass_g: 100 },
    ]);
  });

  it('adds to a food that is planned already, and the plan weighs the same', () => {
    expect(swapped(plan, half[0], 'liver')).toEqual([
      { food: 'heart', mass_g: 250 },
      { food: 'liver', mass_g: 450 },
    ]);
  });

  it('changes nothing for a food that is not planned, is in, or stands in for itself', () => {
    expect(swapped(plan, undefined, 'kidney')).toEqual(plan);
    expect(swapped(plan, half[0], 'heart')).toEqual(plan);
    const done = weighLines(plan, [
      { rid: 'a', food: 'heart', mass_g: 610, at: '2026-11-25T09:00:00Z' },
    ]);
    expect(swapped(plan, done[0], 'kidney')).toEqual(plan);
  });

  it('is offered from store: of its kind first, then what keeps alike, at hand before frozen', async () => {
    const phone = await Phone.open(new ModelServer(), INES);
    await phone.do(async () => {
      for (const [food, place] of [
        ['carrot', 'fridge'],
        ['kidney', 'freezer'],
        ['other heart', 'freezer'],
        ['heart', 'freezer'],
        ['tongue', 'fridge'],
      ] as const) {
        const of = await create('lot', { food, pack_mass_g: 500, place });
        await create('movement', { of, what: 'stored', mass_g: 500, at: '2026-11-01T08:00:00Z' });
      }
      const found = standIns(await readLarder(), 'heart', 350, kind);
      expect(found.map(({ food }) => food)).toEqual(['other heart', 'kidney', 'carrot', 'tongue']);
      expect(found[2]).toEqual({ food: 'carrot', in_store_g: 500, at_hand_g: 500 });
      expect(found[1]?.at_hand_g).toBe(0);
    });
  });

  it('stands in the plan, and the ledger of the other food pays for it to the gram', async () => {
    const phone = await Phone.open(new ModelServer(), INES);
    await phone.do(async () => {
      const of = await create('lot', { food: 'kidney', pack_mass_g: 500, place: 'fridge' });
      await create('movement', { of, what: 'stored', mass_g: 500, at: '2026-11-01T08:00:00Z' });
      const rid = await create('batch', { method: 'chopped', stage: 'weighing', plan });
      const batch = (await record('batch', rid)) as Rec<'batch'>;
      await swapIn(batch, half[0], 'kidney');
      expect((await record('batch', rid))?.values.plan).toContainEqual({
        food: 'kidney',
        mass_g: 350,
      });
      const at = '2026-11-25T09:05:00Z';
      await putIn(await readLarder(), { batch: rid, food: 'kidney', mass_g: 350, at });
      expect(inStore_g(await readLarder()).get('kidney')).toBe(150);
      expect(await records('weigh_in', { owner: rid })).toHaveLength(1);
    });
  });
});
