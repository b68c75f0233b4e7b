import { describe, expect, it } from 'vitest';
import {
  bodyGrams,
  bodyMass,
  countWord,
  counted,
  fixed,
  foodGrams,
  foodMass,
  listed,
  ofWhom,
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

  it('never writes minus nothing', () => {
    expect(fixed(-0.04, 1)).toBe('0.0');
    expect(fixed(-0.4, 1)).toBe('−0.4');
  });
});
