import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  bodyGrams,
  bodyMass,
  countWord,
  counted,
  fixed,
  foodGrams,
  foodMass,
  knownMass,
  listed,
  ofWhom,
  scaleMass,
  scalePlaces,
  storeMass,
} from './words';

describe('words for figures', () => {
  it('counts in words up to ten', () => {
    expect(countWord(3)).toBe('three');
    expect(countWord(14)).toBe('14');
    expect(counted(1, 'meal')).toBe('1 meal');
    expect(counted(2, 'dog')).toBe('2 dogs');
  });

  it('lists names', () => {
    expect(listed(['Morag'])).toBe('Morag');
    expect(listed(['Morag', 'Pascoe', 'Tansy'])).toBe('Morag, Pascoe and Tansy');
    expect(ofWhom('Tansy')).toBe('Tansy’s');
    expect(ofWhom('Angus')).toBe('Angus’');
  });

  it('shows food and dogs in the units of the member', () => {
    expect(foodMass(190, 'metric')).toBe('190 g');
    // 1 oz = 28.349523125 g and 1 lb = 453.59237 g (NIST Handbook 44, appendix C).
    expect(foodMass(190, 'us')).toBe('6.7 oz');
    expect(foodMass(1000, 'us')).toBe('2.20 lb');
    expect([906, 907].map((mass_g) => foodMass(mass_g, 'us'))).toEqual(['32.0 oz', '2.00 lb']);
    expect(bodyMass(17_400, 'metric')).toBe('17.4 kg');
    expect(bodyMass(17_400, 'us')).toBe('38.4 lb');
    expect(storeMass(4200, 'metric')).toBe('4.2 kg');
    expect(storeMass(1000, 'metric')).toBe('1 kg');
    expect(storeMass(2150, 'metric')).toBe('2.2 kg');
  });

  it('reads back to whole grams', () => {
    expect(bodyGrams(17.4, 'metric')).toBe(17_400);
    expect(bodyGrams(38.4, 'us')).toBe(17_418);
    expect(foodGrams(6.7, 'us')).toBe(190);
  });

  // 1 oz = 28.349523125 g: a sixteenth of the international avoirdupois pound of 0.45359237 kg
  // (NIST SP 811, appendix B.8).
  it('shows again what was read from a scale in ounces', () => {
    expect(foodGrams(8.4, 'us')).toBe(Math.round(8.4 * 28.349523125));
    expect(scaleMass(238, 'us')).toBe('8.4 oz');
    expect(scaleMass(1134, 'us')).toBe('40.0 oz');
    expect(scaleMass(238, 'metric')).toBe('238 g');
    // To 100 kg, the most that one weigh-in may hold.
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 35_273 }), (tenths) => {
        const typed = (tenths / 10).toFixed(1);
        expect(scaleMass(foodGrams(Number(typed), 'us'), 'us')).toBe(`${typed} oz`);
      }),
    );
  });

  it('says a small mass in ounces to the gram', () => {
    expect(scaleMass(1, 'us')).toBe('0.04 oz');
    expect(scaleMass(0, 'us')).toBe('0.0 oz');
    for (let mass_g = 0; mass_g <= 14; mass_g += 1) {
      expect(foodGrams(Number(scaleMass(mass_g, 'us').split(' ')[0]), 'us')).toBe(mass_g);
    }
    expect(['', '0.0', '0.4', '0.5', '8.4'].map((each) => scalePlaces(each, 'us'))).toEqual([
      2, 2, 2, 1, 1,
    ]);
    expect(scalePlaces('412', 'metric')).toBe(0);
  });

  it('takes a figure for the mass that it was shown for', () => {
    expect(knownMass(641, 640, 'us')).toBe(640);
    expect(knownMass(641, 640, 'metric')).toBe(641);
    // A small mass is said to the gram, and so is another one.
    expect(knownMass(4, 3, 'us')).toBe(4);
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 100_000 }), (mass_g) => {
        const typed = Number(scaleMass(mass_g, 'us').split(' ')[0]);
        expect(knownMass(foodGrams(typed, 'us'), mass_g, 'us')).toBe(mass_g);
      }),
    );
  });

  it('never writes minus nothing', () => {
    expect(fixed(-0.04, 1)).toBe('0.0');
    expect(fixed(-0.4, 1)).toBe('−0.4');
  });
});
