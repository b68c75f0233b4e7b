import { describe, expect, it } from 'vitest';
import type { Rec } from '../../db/store.svelte';
import { mealTable } from '../../domain/meal-table';
import { dishesOf, knownEnergy_kcal, mealsOfDay, runs, runTitle } from './shared-out';

function mealtime(name: string, time: string, dogs: string[] = []): Rec<'mealtime'> {
  return { rid: name, values: { name, time, dogs } } as unknown as Rec<'mealtime'>;
}

const portions = [
  { key: 'Morag', mass_g_per_meal: 200, meals_per_day: 2 },
  { key: 'Tansy', mass_g_per_meal: 120, meals_per_day: 3 },
];
const mealtimes = [
  mealtime('Supper', '17:30'),
  mealtime('Breakfast', '06:30'),
  mealtime('Noon', '12:00', ['Tansy']),
];

describe('the energy of a finished batch', () => {
  it('is not known while a food in it is not', () => {
    expect(knownEnergy_kcal({ energy_kcal: 1400, missing: [] })).toBe(1400);
    expect(knownEnergy_kcal({ energy_kcal: 1400, missing: ['stew'] })).toBeNull();
    expect(knownEnergy_kcal({ energy_kcal: 0, missing: [] })).toBeNull();
  });
});

describe('a finished batch as meals', () => {
  it('follows the mealtimes by the clock, each with the dogs that eat at it', () => {
    expect(mealsOfDay(portions, mealtimes)).toEqual([
      {
        key: 'Breakfast',
        dishes: [
          { dog: 'Morag', mass_g: 200 },
          { dog: 'Tansy', mass_g: 120 },
        ],
      },
      { key: 'Noon', dishes: [{ dog: 'Tansy', mass_g: 120 }] },
      {
        key: 'Supper',
        dishes: [
          { dog: 'Morag', mass_g: 200 },
          { dog: 'Tansy', mass_g: 120 },
        ],
      },
    ]);
  });

  it('counts the meals of dogs without a mealtime', () => {
    const own = [mealtime('Noon', '12:00', ['Tansy'])];
    expect(mealsOfDay(portions, own).map(({ key, dishes }) => [key, dishes.length])).toEqual([
      ['Noon', 1],
      ['Meal 1', 1],
      ['Meal 2', 1],
    ]);
  });

  it('puts equal days together, and the last one apart', () => {
    // 760 g a day: two days, and 300 g of the third.
    const table = mealTable(mealsOfDay(portions, mealtimes), 1820, 3);
    const found = runs(table, '2026-11-30');
    expect(found.map(({ from, to, day_g }) => [from, to, day_g])).toEqual([
      ['2026-11-30', '2026-12-01', 760],
      ['2026-12-02', '2026-12-02', 300],
    ]);
    expect(found.map((run) => runTitle(run, '2026-11-30'))).toEqual([
      '30 Nov to 1 Dec, each day',
      'Wed, 2 Dec',
    ]);
  });

  it('says the same grams of one dog once, with all the meals they are for', () => {
    expect(dishesOf(mealsOfDay(portions, mealtimes))).toEqual([
      { dog: 'Morag', mass_g: 200, meals: ['Breakfast', 'Supper'] },
      { dog: 'Tansy', mass_g: 120, meals: ['Breakfast', 'Noon', 'Supper'] },
    ]);
  });
});
