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

/** Our choice: below half an ounce, where supplements are, a tenth of one is too coarse to weigh by. */
const SMALL_OZ = 0.5;

/** Ounces with one decimal; a small mass that one decimal does not say to the gram has two. */
function ounceFigure(mass_g: number): string {
  const mass_oz = mass_g / gramsPerOunce;
  const figure = fixed(mass_oz, 1);
  const isToTheGram = foodGrams(Number(figure), 'us') === mass_g;
  return Math.abs(mass_oz) < SMALL_OZ && !isToTheGram ? fixed(mass_oz, 2) : figure;
}

/** The unit in which food is weighed and typed, as written and as spoken; `unit_g` is its mass [g]. */
export const scaleUnits = {
  metric: { unit: 'g', spoken: 'grams', unit_g: 1 },
  us: { unit: 'oz', spoken: 'ounces', unit_g: gramsPerOunce },
} as const;

/** Food as its scale shows it, so that both can be compared: whole grams, or ounces alone. */
export function measureScale(mass_g: number, units: Units): Measured {
  const figure = units === 'metric' ? fixed(mass_g, 0) : ounceFigure(mass_g);
  return { figure, unit: scaleUnits[units].unit };
}

export function scaleMass(mass_g: number, units: Units): string {
  const { figure, unit } = measureScale(mass_g, units);
  return `${figure} ${unit}`;
}

/** The number that a scale shows, for beams and steppers. */
export function scaleFigure(mass_g: number, units: Units): number {
  return Number(measureScale(mass_g, units).figure);
}

/** Whether a scale shows two masses alike: a tenth of an ounce is more than a gram. */
export function looksAlike(one_g: number, other_g: number, units: Units): boolean {
  if (units === 'metric') return one_g === other_g;
  return ounceFigure(one_g) === ounceFigure(other_g);
}

/** What was typed; where it says no other than a mass that is known to the gram, that mass. */
export function knownMass(typed_g: number, known_g: number, units: Units): number {
  return looksAlike(typed_g, known_g, units) ? known_g : typed_g;
}

/** How many decimals keys take after such digits: one in ounces, two of a small mass. */
export function scalePlaces(digits: string, units: Units): number {
  if (units === 'metric') return 0;
  return Number(digits) < SMALL_OZ ? 2 : 1;
}

/** Two pounds as they are kept, in whole grams: 907 g, a little less than two pounds are. */
const TWO_POUNDS_G = Math.round(2 * gramsPerPound);

/** Food at a glance: as its scale shows it, and in pounds from two pounds on. */
export function measureFood(mass_g: number, units: Units): Measured {
  if (units === 'us' && mass_g >= TWO_POUNDS_G)
    return { figure: fixed(mass_g / gramsPerPound, 2), unit: 'lb' };
  return measureScale(mass_g, units);
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
  return Math.round(value * scaleUnits[units].unit_g);
}
