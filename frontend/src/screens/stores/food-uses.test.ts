import { expect, it } from 'vitest';
import type { Rec } from '../../db/store.svelte';
import type { Batch } from '../../domain/kinds';
import { usesOf } from './food-uses';
import { emptyShelves } from './larder';

function batch(rid: string, values: Partial<Batch>): [string, Rec<'batch'>] {
  return [rid, { rid, values } as Rec<'batch'>];
}

function weighed(of: string, at: string): Rec<'weigh_in'> {
  return { rid: `${of} ${at}`, values: { batch: of, food: 'heart', mass_g: 500, at } } as never;
}

it('tells of the batches of the days looked back on and of what is planned, as the page says', () => {
  const plan = [{ food: 'heart', mass_g: 700 }];
  const batches = new Map([
    batch('old', { number: 1, stage: 'done', plan }),
    batch('late', { number: 2, stage: 'done', plan }),
    batch('next', { number: 3, stage: 'planned', plan }),
  ]);
  const weighIns = [
    weighed('old', '2025-11-20T09:00:00Z'),
    weighed('late', '2026-11-20T09:00:00Z'),
  ];
  const entered = { weighIns, servings: [], since: '2026-11-02' };
  const { batches: found } = usesOf('heart', { ...emptyShelves, batches }, entered);
  expect(found.map(({ rid, mass_g, isPlanned }) => [rid, mass_g, isPlanned])).toEqual([
    ['next', 700, true],
    ['late', 500, false],
  ]);
});
