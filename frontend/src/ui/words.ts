// Figures and lists as people say them. Everything is stored in grams; only here does it become ounces.

export type Units = 'metric' | 'us';

/** Exact by definition: the international avoirdupois pound (1959 agreement; NIST Handbook 44, appendix C). */
export const gramsPerPound = 453.59237;
export const gramsPerOunce = gramsPerPound / 16;

const small = [
  'none',
  'one',
  'two',
  'three',
  'four',
  'five',
  'six',
  'seven',
  'eight',
  'nine',
  'ten',
] as const;

/** "three", or "14" from eleven on. */
export function countWord(count: number): string {
  return small[count] ?? String(count);
}

/** The same words with a capital, to begin a sentence. */
export function capital(words: string): string {
  return words.charAt(0).toUpperCase() + words.slice(1);
}

/** "1 dog", "3 dogs". */
export function counted(count: number, one: string, many = `${one}s`): string {
  return `${count} ${count === 1 ? one : many}`;
}

/** "Morag", "Morag and Pascoe", "Morag, Pascoe and Tansy". */
export function listed(words: readonly string[]): string {
  if (words.length < 2) return words[0] ?? '';
  return `${words.slice(0, -1).join(', ')} and ${words.at(-1)}`;
}

/** "Morag’s", "Angus’". */
export function ofWhom(name: string): string {
  return name.endsWith('s') ? `${name}’` : `${name}’s`;
}

/** A fixed number of places, without a minus before nothing. */
export function fixed(value: number, places: number): string {
  const text = value.toFixed(places);
  return Number(text) === 0 ? text.replace('-', '') : text.replace('-', '−');
}

export interface Measured {
  readonly figure: string;
  readonly unit: string;
}

/** Food on a scale: whole grams, or ounces with one decimal; pounds from two pounds on. */
export function measureFood(mass_g: number, units: Units): Measured {
  if (units === 'metric') return { figure: fixed(mass_g, 0), unit: 'g' };
  if (mass_g >= 2 * gramsPerPound) return { figure: fixed(mass_g / gramsPerPound, 2), unit: 'lb' };
  return { figure: fixed(mass_g / gramsPerOunce, 1), unit: 'oz' };
}

export function foodMass(mass_g: number, units: Units): string {
  const { figure, unit } = measureFood(mass_g, units);
  return `${figure} ${unit}`;
}

/** A large mass at a glance: "4.2 kg", "9.3 lb", and grams below one kilogram. */
export function storeMass(mass_g: number, units: Units): string {
  if (units === 'us' || mass_g < 1000) return foodMass(mass_g, units);
  // Rounded while still in grams: 2.15 is a little less in binary, and would become 2.1.
  return `${trimmed(Math.round(mass_g / 100) / 10, 1)} kg`;
}

function trimmed(value: number, places: number): string {
  return fixed(value, places).replace(/\.0+$/, '');
}

/** A dog on a scale: kilograms or pounds, one decimal; two below ten of them. */
export function measureBody(mass_g: number, units: Units): Measured {
  const value = units === 'metric' ? mass_g / 1000 : mass_g / gramsPerPound;
  return { figure: fixed(value, value < 3 ? 2 : 1), unit: bodyUnit(units) };
}

export function bodyMass(mass_g: number, units: Units): string {
  const { figure, unit } = measureBody(mass_g, units);
  return `${figure} ${unit}`;
}

export function bodyUnit(units: Units): 'kg' | 'lb' {
  return units === 'metric' ? 'kg' : 'lb';
}

/** Whole grams from what was typed in the member's unit for a dog. */
export function bodyGrams(value: number, units: Units): number {
  return Math.round(value * (units === 'metric' ? 1000 : gramsPerPound));
}

/** Whole grams from what was typed in the member's unit for food. */
export function foodGrams(value: number, units: Units): number {
  return Math.round(value * (units === 'metric' ? 1 : gramsPerOunce));
}
