import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import vectors from '../../../../fixtures/vectors/labels.json' with { type: 'json' };
import type { HazardRow, Tables } from '../../domain/tables';
import { doseWords } from '../plan/doses';
import type { Kitchen } from '../plan/judged';
import {
  amountError,
  notReady,
  plateHazards,
  plateMass_g,
  plateSalt,
  share_g,
  shareTyped,
  type PlateDraft,
} from './plate';
import { foodScale, MOST_OFFERED_G, scaleWithin_g, servingScale, servingWords } from './portion';

const tables = vectors.tables as unknown as Tables;
const MINCE = 'usda-23562';
const find = (key: string) => tables.foods.find((food) => food.key === key) ?? null;
const kitchen = {
  tables,
  food: find,
  kind: find,
  name: (key: string) => find(key)?.name ?? key,
  known_per_100g: () => null,
} as unknown as Kitchen;
const plate: PlateDraft = {
  name: 'Stew',
  lines: [{ food: MINCE, amount: '200' }],
  dogs: ['a', 'b'],
  each: null,
  units: 'metric',
};
const onion: HazardRow = {
  key: 'onion',
  name: 'Onion family',
  synonyms: ['onion', 'onions'],
  amount: 5,
  unit: 'g/kg',
  dose: '',
  effect: '',
  source: '',
  severity: 'stop',
};

describe('a plate', () => {
  it('is shared out evenly until somebody says otherwise', () => {
    expect([plateMass_g(plate), share_g(plate)]).toEqual([200, 100]);
    expect(share_g({ ...plate, each: '30' })).toBe(30);
  });

  it('is typed in ounces and kept in whole grams', () => {
    // 7.1 oz are 201.3 g; half of 201 g is shown as 3.6 oz, which alone would be 102 g.
    const ounces: PlateDraft = { ...plate, lines: [{ food: MINCE, amount: '7.1' }], units: 'us' };
    expect([plateMass_g(ounces), share_g(ounces), shareTyped(ounces)]).toEqual([201, 101, '3.6']);
    expect(share_g({ ...ounces, each: '3.6' })).toBe(101);
    expect(share_g({ ...ounces, each: '1,5' })).toBe(43);
    expect(shareTyped({ ...ounces, each: '1,5' })).toBe('1,5');
    fc.assert(
      fc.property(
        fc.array(fc.integer({ min: 5, max: 2000 }), { minLength: 1, maxLength: 6 }),
        fc.integer({ min: 1, max: 5 }),
        (tenths, dogs) => {
          const lines = tenths.map((each) => ({ food: MINCE, amount: (each / 10).toFixed(1) }));
          const whole = { ...ounces, lines, dogs: Array.from({ length: dogs }, String) };
          const typed = { ...whole, each: shareTyped(whole) };
          expect(Number.isInteger(share_g(whole))).toBe(true);
          expect(share_g(typed)).toBe(share_g(whole));
          expect(notReady(typed, false)).toBeUndefined();
        },
      ),
    );
  });

  it('says what cannot be an amount', () => {
    expect(amountError('', 'us')).toBeNull();
    expect(amountError('some', 'us')).toBe('“some” is no number of ounces.');
    expect(amountError('0.01', 'us')).toBe('The least is 0.04 oz.');
    expect(amountError('0', 'metric')).toBe('The least is 1 g.');
    expect(notReady({ ...plate, each: 'half' }, false)).toContain('What each dog had');
    expect(notReady({ ...plate, each: '0' }, false)).toContain('What each dog had');
    const some = [{ food: MINCE, amount: 'some' }];
    expect(notReady({ ...plate, lines: some, units: 'us' }, false)).toContain('Ounces');
  });

  it('has its salt from the sodium of its foods', () => {
    const sodium_mg = find(MINCE)?.v.sodium ?? 0;
    const salt = plateSalt(plate, kitchen, [{ name: 'Morag', mass_g: 8000 }]);
    // Half of the plate: 100 g, so the sodium of 100 g, as NaCl (39.34 % sodium by formula).
    expect(salt?.grams).toBeCloseTo(sodium_mg / 1000 / 0.3934, 3);
    expect(salt?.perKg[0]?.g_per_kg).toBeCloseTo((salt?.grams ?? 0) / 8, 9);
    const more = { ...plate, lines: [...plate.lines, { food: 'nobody-knows', amount: '10' }] };
    expect(plateSalt(more, kitchen, [])?.isLeast).toBe(true);
  });

  it('stops at an onion in its name, with the dose for this dog', () => {
    const found = plateHazards([onion], { ...plate, name: 'Stew with onions' }, kitchen.name);
    expect(found).toEqual([onion]);
    expect(doseWords(onion, [{ name: 'Morag', mass_g: 8000 }], 'metric')).toEqual([
      'For Morag, 8.0 kg: harm is published from about 40 g on.',
    ]);
    expect(doseWords(onion, [{ name: 'Morag', mass_g: null }], 'metric')).toEqual([]);
    expect(plateHazards([onion], plate, kitchen.name)).toEqual([]);
  });

  it('says what is missing', () => {
    expect(notReady(plate, false)).toBeUndefined();
    expect(notReady(plate, true)).toBe('Not for dogs');
    expect(notReady({ ...plate, dogs: [] }, false)).toContain('dog');
    expect(notReady({ ...plate, lines: [] }, false)).toContain('What is on it');
    expect(notReady({ ...plate, lines: [{ food: MINCE, amount: '' }] }, false)).toContain('Grams');
    expect(notReady({ ...plate, each: '150' }, false)).toContain('More than');
  });
});

it('a supplement is stepped by the tablet and stored as grams', () => {
  const scale = servingScale({ unit: 'tablet', mass_g: 0.6 });
  expect(servingWords({ unit: 'tablet', mass_g: 0.6 }, 0.6)).toBe('1 tablet');
  expect([scale.unit, scale.shown(0.9), scale.grams(1.5)]).toEqual(['tablets', 1.5, 0.9]);
});

it('the most that is shown of an amount is all there is, and no more', () => {
  // 20 kg are 705.48 oz and shown as 705.5, which would be 20,001 g; 186 g are shown as 6.6 oz,
  // which would be 187 g, and 185 g as 6.5 oz, which would leave a gram in the bowl.
  const ounces = foodScale('us', 186);
  expect(scaleWithin_g(ounces, 705.5, MOST_OFFERED_G)).toBe(MOST_OFFERED_G);
  expect(scaleWithin_g(ounces, 6.6, 186)).toBe(186);
  expect(scaleWithin_g(ounces, 6.5, 185)).toBe(185);
  expect(scaleWithin_g(ounces, 6.4, 185)).toBe(181);
  const drops = servingScale({ unit: 'drop', mass_g: 0.3 });
  expect(scaleWithin_g(drops, 66_666.67, MOST_OFFERED_G)).toBe(MOST_OFFERED_G);
});
