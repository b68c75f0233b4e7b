import { describe, expect, it } from 'vitest';
import vectors from '../../../../fixtures/vectors/labels.json' with { type: 'json' };
import type { HazardRow, Tables } from '../../domain/tables';
import { doseWords } from '../plan/doses';
import type { Kitchen } from '../plan/judged';
import { notReady, plateHazards, plateMass_g, plateSalt, share_g, type PlateDraft } from './plate';
import { servingScale, servingWords } from './portion';

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
  lines: [{ food: MINCE, grams: '200' }],
  dogs: ['a', 'b'],
  each_g: null,
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
    expect(share_g({ ...plate, each_g: 30 })).toBe(30);
  });

  it('has its salt from the sodium of its foods', () => {
    const sodium_mg = find(MINCE)?.v.sodium ?? 0;
    const salt = plateSalt(plate, kitchen, [{ name: 'Morag', mass_g: 8000 }]);
    // Half of the plate: 100 g, so the sodium of 100 g, as NaCl (39.34 % sodium by formula).
    expect(salt?.grams).toBeCloseTo(sodium_mg / 1000 / 0.3934, 3);
    expect(salt?.perKg[0]?.g_per_kg).toBeCloseTo((salt?.grams ?? 0) / 8, 9);
    const more = { ...plate, lines: [...plate.lines, { food: 'nobody-knows', grams: '10' }] };
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
    expect(notReady({ ...plate, lines: [{ food: MINCE, grams: '' }] }, false)).toContain('Grams');
    expect(notReady({ ...plate, each_g: 150 }, false)).toContain('More than');
  });
});

it('a supplement is stepped by the tablet and stored as grams', () => {
  const scale = servingScale({ unit: 'tablet', mass_g: 0.6 });
  expect(servingWords({ unit: 'tablet', mass_g: 0.6 }, 0.6)).toBe('1 tablet');
  expect([scale.unit, scale.shown(0.9), scale.grams(1.5)]).toEqual(['tablets', 1.5, 0.9]);
});
