/** Masses that people type, in the unit they chose; kept in whole grams. */
import { gramsPerOunce, gramsPerPound, knownMass, type Units } from '../../ui/words';

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

/** What a small pack may weigh, to show how it is typed. */
const EXAMPLES: Readonly<Record<MassUnit, string>> = { kg: '0.2', g: '200', lb: '0.5', oz: '8' };

export function isUsUnit(unit: MassUnit): boolean {
  return unit === 'lb' || unit === 'oz';
}

export type ReadMass =
  | { readonly mass_g: number; readonly error: null }
  | { readonly mass_g: null; readonly error: string };

/**
 * What packs are to weigh into which a mass is divided.
 *
 * @param whole_g all of it; what says the same in ounces is one pack of all of it [g]
 */
export function readSmallPack(text: string, unit: MassUnit, whole_g: number): ReadMass {
  const typed_g = typedMass_g(text, unit);
  if (typed_g === null) {
    const error = `“${text}” is no mass. Type what a pack is to weigh, such as ${EXAMPLES[unit]}.`;
    return { mass_g: null, error };
  }
  const mass_g = knownMass(typed_g, whole_g, isUsUnit(unit) ? 'us' : 'metric');
  if (mass_g > whole_g)
    return { mass_g: null, error: 'That is more than there is of it. Is the unit right?' };
  return { mass_g, error: null };
}

/** A mass as it would be typed in a unit: 1240 g in kg is "1.24". */
export function massTyped(mass_g: number, unit: MassUnit): string {
  const text = (mass_g / GRAMS_IN[unit]).toFixed(unit === 'g' ? 0 : 3);
  return text.includes('.') ? text.replace(/\.?0+$/, '') : text;
}
