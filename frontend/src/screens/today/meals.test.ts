import { describe, expect, it } from 'vitest';
import type { Rec } from '../../db/store.svelte';
import { mealId } from '../../domain/ids';
import type { Serving, Values, Entity } from '../../domain/kinds';
import {
  eatenBy,
  eatenShare,
  eatersAt,
  frontSlot,
  leftOf,
  slotsOf,
  stepFor,
  watchedDog,
  type MealRecord,
} from './meals';

const household = '019f0000-0000-7000-8000-000000000001';
const day = '2026-10-14';
const dogs = ['morag', 'pascoe', 'tansy'];

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

const breakfast = rec('mealtime', 'b', { name: 'Breakfast', time: '06:30' });
const midday = rec('mealtime', 'm', { name: 'Midday', time: '12:30', dogs: ['tansy'] });
const supper = rec('mealtime', 's', { name: 'Supper', time: '17:30', dogs: [] });
const mealtimes = [supper, breakfast, midday];

function fed(
  mealtime: Rec<'mealtime'>,
  eaters: readonly string[],
  at = '2026-10-14T05:34:00Z',
): MealRecord {
  const rid = mealId(household, mealtime.rid, day);
  const servings = eaters.map((dog) =>
    rec('serving', `${rid} ${dog}`, { meal: rid, dog, what: { food: 'f' }, offered_g: 190 }),
  );
  return { meal: rec('meal', rid, { mealtime: mealtime.rid, day, at }), servings };
}

function front(meals: readonly MealRecord[], now: string, fedAt = '06:34') {
  const slots = slotsOf({ household, day }, mealtimes, dogs, meals);
  return frontSlot(slots, now, (slot) => (slot.fed ? fedAt : null))?.mealtime.values.name;
}

describe('the meals of a day', () => {
  it('is about who ate it, when they are no longer at home', () => {
    const slots = slotsOf({ household, day }, mealtimes, ['morag'], [fed(midday, ['tansy'])]);
    expect(slots.map((slot) => [slot.mealtime.rid, ...eatersAt(slot)])).toEqual([
      ['b', 'morag'],
      ['m', 'tansy'],
      ['s', 'morag'],
    ]);
  });

  it('stand in the order of the clock, for the dogs that eat then', () => {
    const slots = slotsOf({ household, day }, mealtimes, dogs, [
      fed(breakfast, dogs),
      fed(supper, ['morag']),
    ]);
    expect(slots.map((slot) => [slot.mealtime.values.name, slot.dogs.length, slot.state])).toEqual([
      ['Breakfast', 3, 'fed'],
      ['Midday', 1, 'open'],
      ['Supper', 3, 'partly'],
    ]);
  });

  it('puts the nearest open meal in front', () => {
    expect(front([], '06:10')).toBe('Breakfast');
    expect(front([fed(breakfast, dogs)], '10:00')).toBe('Midday');
    // Breakfast was never written down; at supper it is supper that is in front.
    expect(front([fed(midday, ['tansy'])], '17:20', '12:35')).toBe('Supper');
  });

  it('keeps a meal in front for a while after it was fed', () => {
    expect(front([fed(breakfast, dogs)], '06:50')).toBe('Breakfast');
    expect(front([fed(breakfast, dogs)], '09:00')).toBe('Midday');
  });

  it('lets a half-fed meal be finished first', () => {
    expect(front([fed(breakfast, ['morag'])], '11:00')).toBe('Breakfast');
  });

  it('ends the day with its last meal', () => {
    expect(front([fed(breakfast, dogs), fed(midday, ['tansy']), fed(supper, dogs)], '22:00')).toBe(
      'Supper',
    );
  });

  it('has nothing in front without mealtimes', () => {
    expect(frontSlot([], '06:10', () => null)).toBeNull();
  });
});

describe('the dog to watch', () => {
  const three = [
    { rid: 'morag', name: 'Morag', born: '2014-03-02' },
    { rid: 'pascoe', name: 'Pascoe', born: '2021-05-20' },
    { rid: 'tansy', name: 'Tansy', born: null },
  ];
  const serving = (dog: string, appetite: Serving['appetite']): Serving => ({
    meal: 'x',
    dog,
    what: { food: 'f' },
    offered_g: 100,
    appetite: appetite ?? null,
  });

  it('is the oldest while all eat well', () => {
    expect(watchedDog(three, [serving('pascoe', 'keen')])?.name).toBe('Morag');
    expect(watchedDog([], [])).toBeNull();
  });

  it('is the one that ate worst lately, forgetting what is long past', () => {
    expect(watchedDog(three, [serving('tansy', 'picked'), serving('morag', 'slow')])?.name).toBe(
      'Tansy',
    );
    const past = [
      serving('tansy', 'left_it'),
      ...Array.from({ length: 6 }, () => serving('tansy', 'keen')),
    ];
    expect(watchedDog(three, past)?.name).toBe('Morag');
  });
});

describe('how much was eaten', () => {
  it('is unknown, not all, when nobody noted it', () => {
    expect(eatenShare({ offered_g: 200, left: null })).toBeNull();
    expect(eatenShare({ offered_g: 200, left: { g: 50 } })).toBe(0.75);
    expect(eatenShare({ offered_g: 200, left: { share: 1 } })).toBe(0);
    // Another food for the meal, of which the usual portion is another one.
    const left = (g: number, now_g: number) => leftOf({ offered_g: 190, left: { g } }, now_g);
    expect(left(190, 250)).toEqual({ g: 250 });
    expect(left(190, 100)).toEqual({ g: 100 });
    expect(left(50, 250)).toEqual({ g: 50 });
    expect(left(0, 250)).toEqual({ g: 0 });
    expect(leftOf({ offered_g: 190, left: null }, 250)).toBeNull();
  });

  it('lights the word that fits', () => {
    expect(stepFor(240, 240)).toBe('all');
    expect(stepFor(180, 240)).toBe('most');
    expect(stepFor(200, 240)).toBeNull();
    expect(stepFor(0, 240)).toBe('none');
  });
});

describe('words for what was eaten', () => {
  it('stand for grams as well as anybody can tell', () => {
    expect(eatenBy(0.75, 210)).toBe(160);
    expect(eatenBy(1, 213)).toBe(213);
    expect(eatenBy(0.5, 21)).toBe(11);
    expect(stepFor(160, 210)).toBe('most');
  });
});
