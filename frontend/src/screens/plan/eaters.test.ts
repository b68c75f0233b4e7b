import { describe, expect, it } from 'vitest';
import type { Rec } from '../../db/store.svelte';
import type { FoodRow } from '../../domain/tables';
import { eatersOf, noDogs, whoMayNotHave } from './eaters';

const morag = { rid: 'morag', values: { name: 'Morag', may_not_have: ['heart'] } } as Rec<'dog'>;
const angus = { rid: 'angus', values: { name: 'Angus' } } as Rec<'dog'>;
const kind = (key: string) => ({ key: key === 'ours' ? 'heart' : key }) as FoodRow;

describe('who may not have a food', () => {
  it('is told of the food and of a copy of it, also before the dog was weighed', () => {
    const all = { ...noDogs, dogs: [morag, angus] };
    const moment = { today: '2026-11-28', tables: null };
    const eaters = eatersOf(all, ['morag', 'angus'], moment);
    const who = (food: string) => whoMayNotHave(eaters, food, { kind });
    expect([who('heart'), who('ours'), who('spleen')]).toEqual([['Morag'], ['Morag'], []]);
  });
});
