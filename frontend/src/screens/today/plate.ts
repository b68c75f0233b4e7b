/** A plate from the family's own cooking, entered as its foods and shared with dogs. */
import { create, transact } from '../../db/store.svelte';
import { totals } from '../../domain/composition';
import type { HazardRow } from '../../domain/tables';
import { readAmount } from '../../ui/amounts';
import {
  capital,
  foodGrams,
  knownMass,
  measureScale,
  scaleMass,
  scaleUnits,
  type Units,
} from '../../ui/words';
import { hazardsNamed } from '../plan/foods';
import type { Kitchen } from '../plan/judged';
import type { Shelves } from '../stores/larder';
import { extraAt, feed } from './feed';

export interface PlateLine {
  readonly food: string;
  /** As typed, in the member's unit. */
  readonly amount: string;
}

export interface PlateDraft {
  /** What it is: "beef stew". */
  readonly name: string;
  readonly lines: readonly PlateLine[];
  readonly dogs: readonly string[];
  /** What each dog had, as typed; null while it is the whole plate shared out evenly. */
  readonly each: string | null;
  /** In which units it is typed. */
  readonly units: Units;
}

/** The least that can be written down of one food [g]. */
const LEAST_G = 1;

/** Sodium chloride by mass of sodium: molar masses 58.44 and 22.99 g/mol. */
const SALT_PER_SODIUM = 58.44 / 22.99;

/** A typed amount in grams, in whole ones from ounces; null when it is no amount. */
function typed_g(amount: string, units: Units): number | null {
  const value = readAmount(amount);
  return value === null || units === 'metric' ? value : foodGrams(value, units);
}

type Lines = Pick<PlateDraft, 'lines' | 'units'>;

export function linesRead({ lines, units }: Lines): { food: string; mass_g: number }[] {
  return lines.flatMap(({ food, amount }) => {
    const mass_g = typed_g(amount, units);
    return mass_g === null || mass_g < LEAST_G ? [] : [{ food, mass_g }];
  });
}

/** What is wrong with an amount that was typed; null when nothing is, or nothing was typed. */
export function amountError(amount: string, units: Units, least_g = LEAST_G): string | null {
  if (amount.trim() === '') return null;
  const mass_g = typed_g(amount, units);
  if (mass_g === null) return `“${amount}” is no number of ${scaleUnits[units].spoken}.`;
  return mass_g < least_g ? `The least is ${scaleMass(least_g, units)}.` : null;
}

export function plateMass_g(draft: Lines): number {
  return linesRead(draft).reduce((sum, line) => sum + line.mass_g, 0);
}

/** What each dog had: as said, else an even share of the plate. */
export function share_g(draft: PlateDraft): number {
  const even_g = Math.round(plateMass_g(draft) / Math.max(1, draft.dogs.length));
  const said_g = typed_g(draft.each ?? '', draft.units);
  return said_g === null ? even_g : knownMass(said_g, even_g, draft.units);
}

/** What stands in the field for each dog's share. */
export function shareTyped(draft: PlateDraft): string {
  if (draft.each !== null) return draft.each;
  return plateMass_g(draft) > 0 ? measureScale(share_g(draft), draft.units).figure : '';
}

/** The hazards that the name of the plate or of a food in it points to. */
export function plateHazards(
  hazards: readonly HazardRow[],
  draft: PlateDraft,
  nameOf: (food: string) => string,
): HazardRow[] {
  // A name a sentence: the end of one and the beginning of the next are no name together.
  const names = [draft.name, ...draft.lines.map(({ food }) => nameOf(food))];
  const found = names.flatMap((name) => hazardsNamed(hazards, name));
  return hazards.filter((hazard) => found.includes(hazard));
}

export interface PlateSalt {
  readonly grams: number;
  /** Of some food in it the sodium is not known: then there is at least so much. */
  readonly isLeast: boolean;
  /** Grams of salt per kilogram of the dog, by name, for dogs that were weighed. */
  readonly perKg: readonly { readonly name: string; readonly g_per_kg: number }[];
}

/** The salt in one dog's share, from the sodium of its foods; null while nothing is known. */
export function plateSalt(
  draft: PlateDraft,
  kitchen: Kitchen,
  eaters: readonly { readonly name: string; readonly mass_g: number | null }[],
): PlateSalt | null {
  const { tables } = kitchen;
  const whole_g = plateMass_g(draft);
  if (tables === null || whole_g <= 0) return null;
  const portions = linesRead(draft).flatMap(({ food, mass_g }) => {
    const row = kitchen.food(food);
    return row === null ? [] : [[row, mass_g] as const];
  });
  const found = totals(tables, portions);
  const sodium_mg = found.known.sodium ?? null;
  if (sodium_mg === null) return null;
  const grams = ((sodium_mg * SALT_PER_SODIUM) / 1000) * (share_g(draft) / whole_g);
  const isLeast =
    (found.unknown_energy_share.sodium ?? 1) > 0 || portions.length < draft.lines.length;
  return {
    grams,
    isLeast,
    perKg: eaters.flatMap(({ name, mass_g }) =>
      mass_g === null ? [] : [{ name, g_per_kg: grams / (mass_g / 1000) }],
    ),
  };
}

/** What is missing before it can be written down, as the words of the button. */
export function notReady(draft: PlateDraft, isStopped: boolean): string | undefined {
  if (isStopped) return 'Not for dogs';
  if (draft.dogs.length === 0) return 'Which dog first';
  if (draft.lines.length === 0) return 'What is on it first';
  if (linesRead(draft).length < draft.lines.length) {
    return `${capital(scaleUnits[draft.units].spoken)} of each food first`;
  }
  if (amountError(draft.each ?? '', draft.units, 0) !== null || share_g(draft) <= 0) {
    return 'What each dog had first';
  }
  if (share_g(draft) * draft.dogs.length > plateMass_g(draft) + draft.dogs.length) {
    return 'More than is on the plate';
  }
  return undefined;
}

/** Writes the plate as a cooked batch with what is in it, and a serving for each dog. */
export async function savePlate(draft: PlateDraft, at: string, larder: Shelves): Promise<void> {
  const lines = linesRead(draft);
  const offered_g = share_g(draft);
  await transact(async () => {
    const batch = await create('batch', {
      name: draft.name.trim() === '' ? 'A plate from the table' : draft.name.trim(),
      method: 'cooked',
      stage: 'done',
      dogs: [...draft.dogs],
      yield_g: Math.max(1, Math.round(plateMass_g(draft))),
      made_at: at,
    });
    for (const { food, mass_g } of lines) {
      await create('weigh_in', { batch, food, mass_g, lot: null, at });
    }
    const what = { food: null, batch, bag: null };
    const bowls = draft.dogs.map((dog) => ({ dog, what, offered_g, left: { g: 0 } }));
    await feed(extraAt(at), bowls, larder);
  });
}
