import { describe, expect, it } from 'vitest';
import type { FoodRow, Tables } from '../../domain/tables';
import { kitchenOf } from '../plan/judged';
import type { EatenServing } from './balance';
import { varietyOf, varietyRows } from './variety';

const food = (key: string, energy: number) =>
  ({
    key,
    name: key,
    group: 'red_meat',
    style: 'raw',
    energy_kcal_per_100g: energy,
    v: {},
  }) as unknown as FoodRow;

const tables = {
  nutrients: [],
  group_upper: {},
  foods: [food('beef', 200), food('liver', 100)],
  origins: {
    species: { beef: 'Beef' },
    parts: { muscle: 'Muscle meat', liver: 'Liver' },
    by_food: { beef: ['beef', 'muscle'], liver: ['beef', 'liver'] },
  },
} as unknown as Tables;

const kitchen = kitchenOf(tables, []);

function serving(day: string, food: string, eaten_g: number): EatenServing {
  return {
    day,
    dish: { kind: 'ground', parts: [{ food, mass_g: 1 }] },
    eaten_g,
    offered_g: eaten_g,
    isAssumed: false,
  } as unknown as EatenServing;
}

const span = { first: '2026-11-19', last: '2026-11-25' };

describe('variety', () => {
  it('shares the energy, and says how long ago', () => {
    const found = varietyOf(
      [serving('2026-11-25', 'beef', 300), serving('2026-11-01', 'liver', 50)],
      kitchen,
      span,
    );
    expect(found && varietyRows(tables, found, 'parts')).toEqual([
      { key: 'muscle', figure: '100 %', title: 'Muscle meat', detail: 'fed on the last day' },
      { key: 'liver', figure: 'none', title: 'Liver', detail: 'last fed 24 days ago' },
    ]);
  });

  it('says that a food of the household was not said to come from any animal', () => {
    const own = kitchenOf({ ...tables, origins: undefined }, []);
    const found = varietyOf([serving('2026-11-24', 'beef', 300)], own, span);
    expect(found && varietyRows(tables, found, 'species')[0]?.title).toBe(
      'Your own foods: not said',
    );
  });

  it('is not shown where nothing with energy was eaten', () => {
    expect(varietyOf([], kitchen, span)).toBeNull();
    expect(varietyOf([serving('2026-11-24', 'beef', 300)], kitchenOf(null, []), span)).toBeNull();
  });

  it('counts a copy with figures of one’s own to the animal it was made of', () => {
    const mine = {
      ...kitchen,
      food: (key: string) => kitchen.food(key === 'mine' ? 'beef' : key),
      kind: (key: string) => kitchen.food(key === 'mine' ? 'beef' : key),
    };
    const found = varietyOf([serving('2026-11-25', 'mine', 300)], mine, span);
    expect(found && varietyRows(tables, found, 'species').map((row) => row.title)).toEqual([
      'Beef',
    ]);
  });
});
