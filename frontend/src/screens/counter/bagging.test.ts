import { describe, expect, it } from 'vitest';
import { baggedUp, keepsFrom, leftOver_g, lossWords, proposedBags } from './bagging';

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

  it('proposes no more bags than can be written down', () => {
    // 20 kg for a dog of 30 g a day.
    const plan = proposedBags(20_000, 30, 2);
    expect(plan).toEqual({ bag_g: 30, fridge: 2, freezer: 500, left_g: 4940 });
  });

  it('conserves mass', () => {
    const plan = proposedBags(4321, 777, 2);
    expect(plan.bag_g * (plan.fridge + plan.freezer) + plan.left_g).toBe(4321);
    expect(leftOver_g(4321, plan)).toBe(plan.left_g);
  });
});

describe('the day from which a batch keeps', () => {
  it('is that of the mix, also when it is shared out the next morning', () => {
    // 23:30 in Auckland.
    const mix = { even: true, bone: null, at: '2026-11-28T10:30:00Z', by: 'ines' };
    expect(keepsFrom({ mix }, '2026-11-29', 'Pacific/Auckland')).toBe('2026-11-28');
    expect(keepsFrom({ mix: null }, '2026-11-29', 'Pacific/Auckland')).toBe('2026-11-29');
  });
});

describe('what is put by', () => {
  const bags = { bag_g: 500, fridge: 2, freezer: 1 };

  it('puts the rest into a bag of its own, so that the yield is there to the gram', () => {
    const put = baggedUp(bags, 130, 'freezer');
    expect(put).toEqual([
      { place: 'fridge', count: 2, mass_g: 500 },
      { place: 'freezer', count: 1, mass_g: 500 },
      { place: 'freezer', count: 1, mass_g: 130 },
    ]);
    expect(put.reduce((sum, { count, mass_g }) => sum + count * mass_g, 0)).toBe(1630);
  });

  it('makes no bag of nothing, nor of what is fed first', () => {
    expect(baggedUp({ bag_g: 500, fridge: 0, freezer: 1 }, 0, 'fridge')).toHaveLength(1);
    expect(baggedUp(bags, 130, 'first')).toHaveLength(2);
    expect(baggedUp({ bag_g: 0, fridge: 1, freezer: 1 }, 900, 'first')).toEqual([]);
  });

  it('divides a rest that is too heavy for one bag', () => {
    const none = { bag_g: 0, fridge: 0, freezer: 0 };
    expect(baggedUp(none, 60_000, 'freezer')).toEqual([
      { place: 'freezer', count: 2, mass_g: 30_000 },
    ]);
    expect(baggedUp(none, 100_001, 'fridge')).toEqual([
      { place: 'fridge', count: 2, mass_g: 33_334 },
      { place: 'fridge', count: 1, mass_g: 33_333 },
    ]);
    expect(baggedUp(none, 50_000, 'freezer')).toEqual([
      { place: 'freezer', count: 1, mass_g: 50_000 },
    ]);
    expect(baggedUp(none, 60_000, 'first')).toEqual([]);
  });

  it('does not say that more is left than went in', () => {
    expect(lossWords(1500, 1650, { isCooked: true, units: 'metric' })).toBe(
      '1500 g went in: it weighs 150 g more now. Was water added, or a food not put in here?',
    );
  });

  it('says what was lost, or that it was not weighed yet', () => {
    expect(lossWords(1500, 1455, { isCooked: false, units: 'metric' })).toBe(
      '1500 g went in, 45 g (3 %) stayed behind.',
    );
    expect(lossWords(2810, 2800, { isCooked: false, units: 'metric' })).toBe(
      '2810 g went in, 10 g (under 1 %) stayed behind.',
    );
    expect(lossWords(1500, 1500, { isCooked: false, units: 'metric' })).toBe(
      '1500 g went in, nothing was lost.',
    );
    expect(lossWords(1500, 1600, { isCooked: false, units: 'metric' })).toContain('100 g more');
    expect(lossWords(1500, null, { isCooked: true, units: 'metric' })).toBe('1500 g went in.');
    expect(lossWords(1500, 1140, { isCooked: true, units: 'metric' })).toBe(
      '1500 g went in raw: 76 % of it is left.',
    );
    expect(lossWords(1500, 1455, { isCooked: false, units: 'us' })).toBe(
      '52.9 oz went in, 1.6 oz (3 %) stayed behind.',
    );
  });
});
