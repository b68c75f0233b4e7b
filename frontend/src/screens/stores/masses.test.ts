import { describe, expect, it } from 'vitest';
import { massTyped, massUnits, typedMass_g } from './masses';

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

  it('offers the own units first', () => {
    expect(massUnits('us')[0]).toBe('lb');
    expect(massUnits('metric')[0]).toBe('kg');
  });
});
