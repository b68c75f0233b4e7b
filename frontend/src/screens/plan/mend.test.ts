import { describe, expect, it } from 'vitest';
import {
  density,
  smallestAddition_g,
  smallestHoldBack_g,
  weighable_g,
  withFood,
  type Ingredient,
} from './mend';

// 2000 kcal holding 30 units: 15 per 1000 kcal.
const batch = { known: 30, energy_kcal: 2000 };
const rich: Ingredient = { per_100g: 40, energy_kcal_per_100g: 50 };
const poor: Ingredient = { per_100g: 1, energy_kcal_per_100g: 200 };
const unmeasured: Ingredient = { per_100g: null, energy_kcal_per_100g: 100 };

describe('smallestAddition_g', () => {
  it('lands exactly on the minimum', () => {
    const mass_g = smallestAddition_g(batch, rich, 20);
    expect(mass_g).not.toBeNull();
    expect(density(withFood(batch, rich, mass_g ?? 0))).toBeCloseTo(20, 9);
  });

  it('is nothing when the minimum is met already', () => {
    expect(smallestAddition_g(batch, rich, 10)).toBe(0);
  });

  it('says that a thinner food cannot mend it, however much is added', () => {
    expect(smallestAddition_g(batch, poor, 20)).toBeNull();
  });

  it('never counts on a food whose value is unknown', () => {
    expect(smallestAddition_g(batch, unmeasured, 20)).toBeNull();
  });
});

describe('smallestHoldBack_g', () => {
  it('lands exactly on the maximum', () => {
    const mass_g = smallestHoldBack_g(batch, rich, { maximum: 12, available_g: 500 });
    expect(mass_g).not.toBeNull();
    expect(density(withFood(batch, rich, -(mass_g ?? 0)))).toBeCloseTo(12, 9);
  });

  it('is null when there is not enough left to hold back', () => {
    expect(smallestHoldBack_g(batch, rich, { maximum: 12, available_g: 1 })).toBeNull();
  });

  it('is nothing when nothing is over', () => {
    expect(smallestHoldBack_g(batch, rich, { maximum: 15, available_g: 500 })).toBe(0);
  });
});

describe('weighable_g', () => {
  it('rounds up to what a kitchen scale shows', () => {
    expect(weighable_g(3.2)).toBe(4);
    expect(weighable_g(81)).toBe(85);
    expect(weighable_g(85)).toBe(85);
  });
});

describe('density', () => {
  it('is unknown without energy', () => {
    expect(density({ known: 3, energy_kcal: 0 })).toBeNull();
  });
});
