import { describe, expect, it } from 'vitest';
import type { Place } from '../../domain/kinds';
import { emptyLarder, type Larder } from '../stores/larder';
import { stock } from '../stores/stock-list';
import type { MealRecord } from './meals';
import { foodsInFridge, looseBatches, nextServed, remembered, restsOf } from './table';

function lot(food: string, place: Place, thawed: readonly [mass_g: number, at: string][]) {
  const movements = thawed.map(([mass_g, at], index) => ({
    rid: `${food} ${index}`,
    what: 'thawed' as const,
    mass_g,
    at,
  }));
  const stored = { rid: food, what: 'stored' as const, mass_g: 2000, at: '2026-11-01T08:00:00Z' };
  return {
    rec: { rid: food, values: { food, place, pack_mass_g: 500 } },
    stock: stock([stored, ...movements], []),
  };
}

describe('foodsInFridge', () => {
  it('lists what has thawed, what thawed first in front, and never what is frozen', () => {
    const lots = [
      lot('fish', 'fridge', []),
      lot('liver', 'freezer', [[500, '2026-11-27T08:00:00Z']]),
      lot('heart', 'freezer', [[1000, '2026-11-26T08:00:00Z']]),
      lot('heart', 'freezer', [[500, '2026-11-25T08:00:00Z']]),
      lot('tripe', 'freezer', []),
    ];
    const larder = { ...emptyLarder, lots } as unknown as Larder;
    expect(foodsInFridge(larder)).toEqual([
      { food: 'heart', mass_g: 1500, since: '2026-11-25T08:00:00Z' },
      { food: 'liver', mass_g: 500, since: '2026-11-27T08:00:00Z' },
      { food: 'fish', mass_g: 2000, since: null },
    ]);
  });
});

describe('what a mealtime used last', () => {
  it('is found where a serving names its bag and nothing else', () => {
    const meal = { rid: 'm', values: { mealtime: 'breakfast', day: '2026-11-28' } };
    const before = [{ meal, servings: [{ values: { what: { bag: 'b' } } }] }];
    const table = { before, travels: [] } as unknown as Parameters<typeof remembered>[0];
    expect(remembered(table, 'breakfast')).toEqual({ bag: 'b' });
    expect(remembered(table, 'supper')).toBeNull();
  });
});

describe('looseBatches', () => {
  it('are mixed or done, without bags, the newest first and no more than six', () => {
    const batch = (rid: string, stage: string) =>
      [rid, { rid, values: { stage, made_at: `2026-11-${rid}T08:00:00Z` } }] as const;
    const days = ['10', '11', '12', '13', '14', '15', '16', '17', '18'];
    const batches = new Map(days.map((day) => batch(day, day === '12' ? 'planned' : 'done')));
    const bags = [{ rec: { rid: 'bag', values: { batch: '17' } } }];
    const larder = { bags, batches } as unknown as Larder;
    const found = looseBatches(larder).map(({ rid }) => rid);
    expect(found).toEqual(['18', '16', '15', '14', '13', '11']);
  });
});

describe('restsOf', () => {
  const here = { today: '2026-11-14', zone: 'Europe/London' };
  const batch = (rid: string, made_at: string) =>
    [rid, { rid, values: { stage: 'done', yield_g: 1300, made_at } }] as const;
  const bag = (of: string) => ({ rec: { values: { batch: of, mass_g: 500, count: 2 } } });
  const restOf = (made_at: string, ...meals: MealRecord[]) => {
    const batches = new Map([batch('b', made_at), batch('never bagged', made_at)]);
    const larder = { bags: [bag('b')], batches } as unknown as Larder;
    return restsOf(larder, meals, here).map(({ batch: { rid }, rest_g }) => [rid, rest_g]);
  };
  const meal = (...offered: number[]) =>
    ({
      servings: offered.map((offered_g) => ({ values: { what: { batch: 'b' }, offered_g } })),
    }) as unknown as MealRecord;

  it('is what fills no bag, less what was fed of it', () => {
    expect(restOf('2026-11-14T09:00:00Z')).toEqual([['b', 300]]);
    expect(restOf('2026-11-14T09:00:00Z', meal(120, 80))).toEqual([['b', 100]]);
    expect(restOf('2026-11-14T09:00:00Z', meal(120, 80), meal(100))).toEqual([]);
  });

  it('is offered for some days', () => {
    expect(restOf('2026-11-10T09:00:00Z')).toEqual([['b', 300]]);
    expect(restOf('2026-11-09T23:30:00Z')).toEqual([]);
  });
});

describe('what a mealtime uses next', () => {
  const served = (day: string, offered_g: number) => ({
    meal: { rid: day, values: { mealtime: 'breakfast', day } },
    servings: [{ values: { what: { batch: 'b' }, offered_g } }],
  });
  const values = { stage: 'done', yield_g: 1300, made_at: '2026-11-13T09:00:00Z' };
  const bag = (rid: string, place: Place, total_g: number) => ({
    rec: { rid, values: { batch: 'b', mass_g: 500, count: 1, place, packed_at: '2026-11-13' } },
    stock: { total_g, thawed_g: 0 },
  });
  const next = (
    eaten_g: number,
    bags = [bag('frozen', 'freezer', 500), bag('cool', 'fridge', 500)],
  ) =>
    nextServed(
      {
        before: [served('2026-11-13', eaten_g)],
        meals: [],
        travels: [],
        larder: { bags, batches: new Map([['b', { rid: 'b', values }]]) },
      } as unknown as Parameters<typeof nextServed>[0],
      'breakfast',
      '2026-11-14',
    );

  it('is the rest of a batch while there is any, and then its bags', () => {
    expect(next(200)).toEqual({ batch: 'b' });
    expect(next(300)).toEqual({ food: null, batch: null, bag: 'cool' });
  });

  it('is nothing of a batch that is eaten up, and a batch without bags as long as it is used', () => {
    expect(next(1300, [bag('cool', 'fridge', 0)])).toBeNull();
    expect(next(1300, [])).toEqual({ batch: 'b' });
  });
});
