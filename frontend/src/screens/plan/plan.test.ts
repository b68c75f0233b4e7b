import { describe, expect, it } from 'vitest';
import {
  balance,
  handy_g,
  isFit,
  madeToFit,
  massFor_g,
  needOfAll,
  nextNumber,
  withMass,
} from './plan';

const lines = [
  { food: 'heart', mass_g: 600 },
  { food: 'liver', mass_g: 100 },
];

describe('needOfAll', () => {
  it('adds the dogs and multiplies by the days', () => {
    const needs = [
      { dog: 'morag', energy_kcal_per_day: 600 },
      { dog: 'tansy', energy_kcal_per_day: 900 },
    ];
    expect(needOfAll(needs, 3)).toEqual({ energy_kcal: 4500, unknown: [] });
  });

  it('is unknown, not smaller, when one dog is unknown', () => {
    const needs = [
      { dog: 'morag', energy_kcal_per_day: 600 },
      { dog: 'tansy', energy_kcal_per_day: null },
    ];
    expect(needOfAll(needs, 3)).toEqual({ energy_kcal: null, unknown: ['tansy'] });
    expect(needOfAll([], 3).energy_kcal).toBeNull();
  });
});

describe('madeToFit', () => {
  it('scales every food alike and keeps handy masses', () => {
    expect(madeToFit(lines, { planned_kcal: 1000, needed_kcal: 2000 })).toEqual([
      { food: 'heart', mass_g: 1200 },
      { food: 'liver', mass_g: 200 },
    ]);
  });

  it('leaves the plan alone when there is nothing to scale by', () => {
    expect(madeToFit(lines, { planned_kcal: 0, needed_kcal: 2000 })).toEqual(lines);
  });

  it('knows when a fit would change nothing worth weighing', () => {
    expect(isFit(lines, madeToFit(lines, { planned_kcal: 1000, needed_kcal: 1004 }))).toBe(true);
    expect(isFit(lines, madeToFit(lines, { planned_kcal: 1000, needed_kcal: 1200 }))).toBe(false);
  });

  it('never rounds a food away', () => {
    expect(handy_g(0.2)).toBe(1);
    expect(handy_g(103)).toBe(105);
    expect(handy_g(1234)).toBe(1230);
  });
});

describe('withMass', () => {
  it('changes, adds and takes out', () => {
    expect(withMass(lines, 'liver', 120)[1]).toEqual({ food: 'liver', mass_g: 120 });
    expect(withMass(lines, 'egg', 50)).toHaveLength(3);
    expect(withMass(lines, 'liver', 0)).toEqual([lines[0]]);
  });
});

describe('balance', () => {
  const plan = { mass_g: 1000, energy_kcal: 2000 };

  it('says what is to spare or short in grams of this batch', () => {
    expect(balance(plan, 1600)).toEqual({ word: 'spare', mass_g: 200 });
    expect(balance(plan, 2400)).toEqual({ word: 'short', mass_g: 200 });
    expect(balance(plan, 2010)).toEqual({ word: 'right' });
  });

  it('is unknown without a need or without energy', () => {
    expect(balance(plan, null)).toEqual({ word: 'unknown' });
    expect(balance({ mass_g: 10, energy_kcal: 0 }, 100)).toEqual({ word: 'unknown' });
    expect(massFor_g(100, { mass_g: 10, energy_kcal: 0 })).toBeNull();
  });
});

describe('nextNumber', () => {
  it('numbers batches on from the highest', () => {
    expect(nextNumber([3, null, 41, undefined])).toBe(42);
    expect(nextNumber([])).toBe(1);
  });
});
