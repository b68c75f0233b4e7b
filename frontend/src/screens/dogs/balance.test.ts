import { describe, expect, it } from 'vitest';
import type { Dish } from '../today/dishes';
import type { MealRecord } from '../today/meals';
import { ateRows, energyTitle, intakeOf, lastWholeDay, type EatenServing } from './balance';

function dish(name: string, energy: number | null, kind: Dish['kind'] = 'ground'): Dish {
  const parts = energy === null ? [] : [{ food: name, mass_g: 1 }];
  return { what: { food: name }, same: name, name, kind, energy_kcal_per_g: energy, parts };
}

function serving(changes: Partial<EatenServing>): EatenServing {
  return {
    day: '2026-10-14',
    dish: dish('heart', 1.5),
    offered_g: 200,
    eaten_g: 200,
    isAssumed: false,
    ...changes,
  };
}

describe('what a dog ate', () => {
  it('is averaged over the days that were written down, not over those that were not', () => {
    const intake = intakeOf([
      serving({}),
      serving({ day: '2026-10-12' }),
      serving({ day: '2026-10-12', eaten_g: 100 }),
    ]);
    expect(intake.days).toBe(2);
    expect(intake.known_kcal_per_day).toBe((1.5 * 500) / 2);
    expect(intake.portions).toEqual([{ food: 'heart', mass_g: 500 }]);
  });

  it('says what was assumed and what is unknown', () => {
    const intake = intakeOf([
      serving({ isAssumed: true }),
      serving({ dish: dish('mystery', null) }),
    ]);
    expect(intake.assumed_share).toBe(0.5);
    expect(intake.unknown_share).toBe(0.5);
    expect(energyTitle(intake, 600, 'her')).toBe('Ate at least 50 % of her energy need');
    expect(energyTitle(intakeOf([serving({})]), 600, 'his')).toBe('Ate 50 % of his energy need');
    expect(energyTitle(intakeOf([serving({})]), null, 'its')).toBe('Not enough is known yet');
    expect(energyTitle(intakeOf([]), 600, 'her')).toBe('Not enough is known yet');
  });

  it('is listed by how it was made, the most frequent first', () => {
    const rows = ateRows([
      serving({ dish: dish('Batch 39, ground', 1.5) }),
      serving({ dish: dish('Crunch', 3.5, 'dry') }),
      serving({ dish: dish('Batch 40, ground', 1.5) }),
      serving({ dish: dish('Batch 40, ground', 1.5) }),
    ]);
    expect(rows.map((row) => [row.meals, row.title, row.detail])).toEqual([
      [3, 'Ground, raw', 'Batch 40, ground; Batch 39, ground'],
      [1, 'Dry food', 'Crunch'],
    ]);
  });
});

describe('the last whole day', () => {
  const today = '2026-10-14';
  const meal = (day: string, mealtime: string | null, dog = 'morag') =>
    ({
      meal: { values: { day, mealtime } },
      servings: [{ values: { dog } }],
    }) as unknown as MealRecord;
  const lastOf = (...meals: MealRecord[]) =>
    lastWholeDay(meals, 'morag', { meals_a_day: 2, today });

  it('is yesterday while today is still being eaten, whatever is given besides', () => {
    const before = meal('2026-10-13', 'supper');
    expect(lastOf(before, meal(today, 'breakfast'))).toBe('2026-10-13');
    expect(lastOf(before, meal(today, 'breakfast'), meal(today, null))).toBe('2026-10-13');
    expect(lastOf(before, meal(today, 'breakfast'), meal(today, 'supper', 'pascoe'))).toBe(
      '2026-10-13',
    );
  });

  it('is yesterday for a dog that no mealtime is for, whatever it was given at those of others', () => {
    const given = [meal('2026-10-13', null), meal(today, 'breakfast'), meal(today, 'supper')];
    expect(lastWholeDay(given, 'morag', { meals_a_day: 0, today })).toBe('2026-10-13');
  });

  it('is today once all its meals are written down, or when there is no other day', () => {
    const both = [meal(today, 'breakfast'), meal(today, 'supper')];
    expect(lastOf(meal('2026-10-13', 'supper'), ...both)).toBe(today);
    expect(lastOf(meal(today, 'breakfast'))).toBe(today);
  });
});
