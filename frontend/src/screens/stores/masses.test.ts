import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { massTyped, massUnits, readSmallPack, typedMass_g } from './masses';

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
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 50_000 }),
        fc.constantFrom('kg' as const, 'g' as const, 'lb' as const, 'oz' as const),
        (mass_g, unit) => {
          expect(typedMass_g(massTyped(mass_g, unit), unit)).toBe(mass_g);
        },
      ),
    );
  });

  it('divides into packs of at most all of it', () => {
    expect(readSmallPack('8', 'oz', 907)).toEqual({ mass_g: 227, error: null });
    // 640 g are shown as 22.6 oz, which alone would be 641 g.
    expect(readSmallPack('22.6', 'oz', 640)).toEqual({ mass_g: 640, error: null });
    expect(readSmallPack('641', 'g', 640).error).toContain('more than there is');
    expect(readSmallPack('22.7', 'oz', 640).error).toContain('more than there is');
    expect(readSmallPack('', 'oz', 640).error).toContain('such as 8');
    expect(readSmallPack('', 'g', 640).error).toContain('such as 200');
  });

  it('offers the own units first', () => {
    expect(massUnits('us')[0]).toBe('lb');
    expect(massUnits('metric')[0]).toBe('kg');
  });
});
