import { describe, expect, it } from 'vitest';
import type { Rec } from '../../db/store.svelte';
import type { Entity, Values } from '../../domain/kinds';
import type { FoodRow } from '../../domain/tables';
import { dishOf, type Pantry } from './dishes';
import { usualPortion_g } from './portion';

function rec<E extends Entity>(entity: E, rid: string, values: Values[E]): Rec<E> {
  return {
    rid,
    entity,
    owner: null,
    values,
    made_at: 0,
    made_by: null,
    op_at: 0,
    op_by: '',
    gone: false,
    flags: [],
    pending: false,
    also: {},
    seen: {},
  };
}

function row(key: string, energy: number, style: FoodRow['style'] = 'raw'): FoodRow {
  return {
    key,
    name: key,
    group: 'g',
    style,
    bone_share: null,
    bone_source: null,
    energy_kcal_per_100g: energy,
    energy_method: 'atwater',
    source: 's',
    locator: 'l',
    state: style,
    keeping_class: null,
    v: {},
  };
}

const foods = new Map([
  ['heart', row('heart', 120)],
  ['rice', row('rice', 130, 'cooked')],
]);

function pantry(batch: Values['batch'], weighed: [string, number][] = []): Pantry {
  const food = (key: string) => foods.get(key) ?? null;
  return {
    kitchen: { tables: null, food, kind: food, name: (key) => key, known_per_100g: () => null },
    own: [],
    batches: new Map([['b', rec('batch', 'b', batch)]]),
    bags: new Map([
      [
        'bag',
        rec('bag', 'bag', { batch: 'b', mass_g: 500, count: 2, place: 'fridge', packed_at: 'x' }),
      ],
    ]),
    weighIns: new Map([
      [
        'b',
        weighed.map(([key, mass_g], index) =>
          rec('weigh_in', `w${index}`, { batch: 'b', food: key, mass_g, at: 'x' }),
        ),
      ],
    ]),
  };
}

const ground = { number: 41, method: 'ground' as const, stage: 'done' as const };

describe('what is in a bowl', () => {
  it('knows a food and its energy', () => {
    const dish = dishOf({ food: 'heart' }, pantry(ground));
    expect([dish.name, dish.energy_kcal_per_g]).toEqual(['heart', 1.2]);
  });

  it('takes a batch as it was weighed in, over its plan', () => {
    const planned = { ...ground, plan: [{ food: 'rice', mass_g: 1000 }] };
    const store = pantry(planned, [
      ['heart', 600],
      ['heart', 200],
      ['rice', 200],
    ]);
    const dish = dishOf({ batch: 'b' }, store);
    expect(dish.name).toBe('Batch 41, ground');
    expect(dish.parts).toEqual([
      { food: 'heart', mass_g: 0.8 },
      { food: 'rice', mass_g: 0.2 },
    ]);
    expect(dish.energy_kcal_per_g).toBeCloseTo(0.8 * 1.2 + 0.2 * 1.3, 12);
    expect(dishOf({ batch: 'b' }, pantry(planned)).parts).toEqual([{ food: 'rice', mass_g: 1 }]);
  });

  it('counts what cooked off as water', () => {
    const dish = dishOf(
      { bag: 'bag' },
      pantry({ ...ground, method: 'cooked', yield_g: 800 }, [['heart', 1000]]),
    );
    expect(dish.energy_kcal_per_g).toBeCloseTo(1.5, 12);
    expect(dish.same).toBe('b');
  });

  it('does not guess the energy of a batch with a food it does not know', () => {
    const dish = dishOf(
      { batch: 'b' },
      pantry(ground, [
        ['heart', 500],
        ['mystery', 500],
      ]),
    );
    expect(dish.energy_kcal_per_g).toBeNull();
  });
});

describe('the usual portion', () => {
  it('is the need over the meals by the energy of the food, on handy grams', () => {
    // 600 kcal a day, two meals, 1.5 kcal a gram: 200 g.
    expect(usualPortion_g({ rid: 'x', energy_kcal_per_day: 600, meals_per_day: 2 }, 1.5)).toBe(200);
    expect(usualPortion_g({ rid: 'x', energy_kcal_per_day: 611, meals_per_day: 2 }, 1.5)).toBe(205);
    expect(usualPortion_g({ rid: 'x', energy_kcal_per_day: 60, meals_per_day: 2 }, 3.5)).toBe(9);
  });

  it('is unknown when the need or the energy is', () => {
    expect(
      usualPortion_g({ rid: 'x', energy_kcal_per_day: null, meals_per_day: 2 }, 1.5),
    ).toBeNull();
    expect(
      usualPortion_g({ rid: 'x', energy_kcal_per_day: 600, meals_per_day: 2 }, null),
    ).toBeNull();
  });
});
