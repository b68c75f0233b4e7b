import { describe, expect, it } from 'vitest';
import { massTyped, massWords, typedMass_g } from './masses';

describe('massWords', () => {
  it.each([
    [620, '620 g'],
    [1000, '1 kg'],
    [1240, '1.24 kg'],
    [11600, '11.6 kg'],
    [-300, '−300 g'],
  ])('%i g is "%s"', (mass_g, words) => {
    expect(massWords(mass_g)).toBe(words);
  });

  it('speaks pounds and ounces to those who use them', () => {
    expect(massWords(400, 'us')).toBe('14.1 oz');
    expect(massWords(1000, 'us')).toBe('2.2 lb');
    expect(massWords(453.59237, 'us')).toBe('1 lb');
  });
});

describe('typed masses', () => {
  it('reads a comma or a point, in any unit', () => {
    expect(typedMass_g('1,24', 'kg')).toBe(1240);
    expect(typedMass_g('2', 'lb')).toBe(907);
    expect(typedMass_g('780', 'g')).toBe(780);
  });

  it('refuses what is no mass', () => {
    expect(typedMass_g('', 'kg')).toBeNull();
    expect(typedMass_g('0', 'kg')).toBeNull();
    expect(typedMass_g('-1', 'kg')).toBeNull();
    expect(typedMass_g('one', 'kg')).toBeNull();
  });

  it('comes back as it was typed', () => {
    expect(massTyped(1240, 'kg')).toBe('1.24');
    expect(typedMass_g(massTyped(907, 'lb'), 'lb')).toBe(907);
  });
});
