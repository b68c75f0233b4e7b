import { describe, expect, it } from 'vitest';
import { mealTable, proportioned, type MealOfDay } from './meal-table';

const meals: MealOfDay[] = [
  {
    key: 'breakfast',
    dishes: [
      { dog: 'Morag', mass_g: 250 },
      { dog: 'Tansy', mass_g: 151 },
    ],
  },
  { key: 'supper', dishes: [{ dog: 'Tansy', mass_g: 151 }] },
];

function sum_g(days: readonly (readonly MealOfDay[])[]): number {
  return days
    .flat()
    .flatMap(({ dishes }) => dishes)
    .reduce((sum, { mass_g }) => sum + mass_g, 0);
}

describe('sharing a batch out over its days', () => {
  it('gives full portions each day, and says what is left', () => {
    const table = mealTable(meals, 2000, 3);
    expect(table.days).toEqual([meals, meals, meals]);
    expect(table).toMatchObject({ fed_g: 3 * 552, left_g: 344, lacking_g: 0 });
  });

  it('shares the meal there is not enough for, and gives nothing after it', () => {
    // 552 g on the first day, 300 g for the second: 401 g were wanted, in shares of 250 and 151.
    const table = mealTable(meals, 852, 2);
    expect(table.days[1]?.[0]?.dishes).toEqual([
      { dog: 'Morag', mass_g: 187 },
      { dog: 'Tansy', mass_g: 113 },
    ]);
    expect(table.days[1]?.[1]?.dishes).toEqual([{ dog: 'Tansy', mass_g: 0 }]);
    expect(table).toMatchObject({ fed_g: 852, left_g: 0, lacking_g: 252 });
  });

  it('adds up to the yield to the gram, whatever it is', () => {
    for (let yield_g = 0; yield_g < 1800; yield_g += 7) {
      const table = mealTable(meals, yield_g, 3);
      expect(sum_g(table.days)).toBe(table.fed_g);
      expect(table.fed_g + table.left_g).toBe(yield_g);
    }
  });

  it('rounds to whole grams by the largest remainder, the first of equals first', () => {
    expect(proportioned(100, [1, 1, 1])).toEqual([34, 33, 33]);
    expect(proportioned(10, [0.25, 0.5, 0.25])).toEqual([3, 5, 2]);
    expect(proportioned(5, [])).toEqual([]);
    expect(proportioned(5, [0, 0])).toEqual([0, 0]);
  });
});
