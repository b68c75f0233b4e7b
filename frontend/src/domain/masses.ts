/**
 * Masses in words, in the units a member chose, and masses that people type.
 *
 * Everything is kept in grams; only words and typed amounts change with the units.
 */

export type Units = 'metric' | 'us';

/** Exact, by the international agreement of 1959 (NIST Handbook 44, appendix C). */
export const G_PER_LB = 453.59237;
export const G_PER_OZ = G_PER_LB / 16;

export type MassUnit = 'kg' | 'g' | 'lb' | 'oz';

export const GRAMS_IN: Readonly<Record<MassUnit, number>> = {
  kg: 1000,
  g: 1,
  lb: G_PER_LB,
  oz: G_PER_OZ,
};

function trimmed(value: number, decimals: number): string {
  const text = value.toFixed(decimals);
  return text.includes('.') ? text.replace(/\.?0+$/, '') : text;
}

/**
 * A mass of food: "620 g", "1.24 kg", "11.6 kg"; "14 oz", "2.2 lb".
 *
 * @param mass_g [g]; a negative mass keeps its sign, with a true minus
 */
export function massWords(mass_g: number, units: Units = 'metric'): string {
  const sign = mass_g < 0 ? '−' : '';
  const size_g = Math.abs(mass_g);
  if (units === 'us') {
    if (size_g < G_PER_LB) return `${sign}${trimmed(size_g / G_PER_OZ, 1)} oz`;
    return `${sign}${trimmed(size_g / G_PER_LB, size_g < 10 * G_PER_LB ? 2 : 1)} lb`;
  }
  if (size_g < 1000) return `${sign}${trimmed(size_g, 0)} g`;
  return `${sign}${trimmed(size_g / 1000, size_g < 10_000 ? 2 : 1)} kg`;
}

/** A mass that was typed, in whole grams; null when it is no amount above zero. */
export function typedMass_g(text: string, unit: MassUnit): number | null {
  const plain = text.trim().replace(',', '.');
  if (!/^\d+(\.\d*)?$|^\.\d+$/.test(plain)) return null;
  const mass_g = Math.round(Number(plain) * GRAMS_IN[unit]);
  return mass_g > 0 ? mass_g : null;
}

/** A mass as it would be typed in a unit: 1240 g in kg is "1.24". */
export function massTyped(mass_g: number, unit: MassUnit): string {
  return trimmed(mass_g / GRAMS_IN[unit], unit === 'g' ? 0 : 3);
}
