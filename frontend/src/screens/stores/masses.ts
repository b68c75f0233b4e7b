/** Masses that people type, in the unit they chose; kept in whole grams. */
import { gramsPerOunce, gramsPerPound, type Units } from '../../ui/words';

export type MassUnit = 'kg' | 'g' | 'lb' | 'oz';

const GRAMS_IN: Readonly<Record<MassUnit, number>> = {
  kg: 1000,
  g: 1,
  lb: gramsPerPound,
  oz: gramsPerOunce,
};

/** The units offered, the member's own first. */
export function massUnits(units: Units): readonly MassUnit[] {
  return units === 'us' ? ['lb', 'oz', 'kg', 'g'] : ['kg', 'g', 'lb', 'oz'];
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
  const text = (mass_g / GRAMS_IN[unit]).toFixed(unit === 'g' ? 0 : 3);
  return text.includes('.') ? text.replace(/\.?0+$/, '') : text;
}
