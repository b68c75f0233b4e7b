import { describe, expect, it } from 'vitest';
import { leftOver_g, proposedBags } from './bagging';

describe('proposedBags', () => {
  it('keeps in the fridge what is eaten in time and freezes the rest', () => {
    expect(proposedBags(4200, 1000, 1)).toEqual({
      bag_g: 1000,
      fridge: 1,
      freezer: 3,
      left_g: 200,
    });
  });

  it('freezes everything when no table says how long it keeps', () => {
    expect(proposedBags(2000, 1000, null)).toMatchObject({ fridge: 0, freezer: 2 });
  });

  it('makes no bag when nobody eats it', () => {
    expect(proposedBags(2000, 0, 2)).toEqual({ bag_g: 0, fridge: 0, freezer: 0, left_g: 2000 });
  });

  it('conserves mass', () => {
    const plan = proposedBags(4321, 777, 2);
    expect(plan.bag_g * (plan.fridge + plan.freezer) + plan.left_g).toBe(4321);
    expect(leftOver_g(4321, plan)).toBe(plan.left_g);
  });
});
