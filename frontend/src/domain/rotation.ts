/** How varied the food is. The twin of the server's rotation. */

import { InputError } from './input-error.ts';
import type { Portion } from './composition.ts';
import type { OriginTables, Tables } from './tables.ts';

export const NOT_SAID = 'not_said';
export const FEEDING_STYLES = [
  'ground',
  'chopped',
  'bone_in',
  'cooked',
  'dry',
  'raw',
  'treat',
  'other',
] as const;
export type FeedingStyle = (typeof FEEDING_STYLES)[number];

/** One serving as eaten: its day, how it was made, and the grams of each food in it. */
export interface Fed {
  readonly day: string;
  readonly style: FeedingStyle;
  readonly portions: readonly Portion[];
}

/** One animal, part or style of feeding. */
export interface Turn {
  readonly key: string;
  readonly energy_kcal: number;
  /** Of the energy of the window, 0 to 1; null when nothing in it has energy. */
  readonly share: number | null;
  /** From the last day of the window back to the day it was last fed. */
  readonly days_since: number;
}

export interface Rotation {
  readonly energy_kcal: number;
  readonly species: readonly Turn[];
  readonly parts: readonly Turn[];
  readonly styles: readonly Turn[];
}

/** The days of the window, both within it, as YYYY-MM-DD. */
export interface Span {
  readonly first: string;
  readonly last: string;
}

interface Part {
  readonly day: string;
  readonly energy_kcal: number;
  readonly keys: Readonly<Record<'species' | 'part' | 'style', string>>;
}

const DAY_MS = 86_400_000;

/**
 * What the energy of a window came from, the largest share first.
 *
 * Servings before the first day add no energy; they only tell how long ago something was fed.
 */
export function rotation(
  tables: Pick<Tables, 'origins'>,
  fed: readonly Fed[],
  { first, last }: Span,
): Rotation {
  if (first > last) {
    throw new InputError(
      `The window runs from ${first} to ${last}; its first day is not after its last.`,
      ['first', 'last'],
    );
  }
  const parts = fed
    .flatMap((serving) => partsOf(tables.origins, serving, first))
    .filter((part) => part.day <= last);
  const whole_kcal = parts.reduce((all, part) => all + part.energy_kcal, 0);
  const turns = (kind: keyof Part['keys']): Turn[] => turnsOf(parts, kind, whole_kcal, last);
  return {
    energy_kcal: whole_kcal,
    species: turns('species'),
    parts: turns('part'),
    styles: turns('style'),
  };
}

function partsOf(origins: OriginTables | undefined, serving: Fed, first: string): Part[] {
  if (!FEEDING_STYLES.includes(serving.style)) {
    throw new InputError(
      `“${serving.style}” is no style of feeding; use one of ${FEEDING_STYLES.join(', ')}.`,
      ['style'],
    );
  }
  return serving.portions.flatMap(([food, mass_g]) => {
    if (!Number.isFinite(mass_g) || mass_g < 0) {
      throw new InputError(
        `${food.name}: ${mass_g} g was given; a mass is zero or more. Weigh it again.`,
        ['mass_g'],
      );
    }
    if (mass_g === 0) return [];
    const [species, part] = origins?.by_food[food.key] ?? [NOT_SAID, NOT_SAID];
    const energy_kcal = serving.day >= first ? (mass_g / 100) * food.energy_kcal_per_100g : 0;
    return [{ day: serving.day, energy_kcal, keys: { species, part, style: serving.style } }];
  });
}

function turnsOf(
  parts: readonly Part[],
  kind: keyof Part['keys'],
  whole_kcal: number,
  last: string,
): Turn[] {
  const found = new Map<string, { energy_kcal: number; day: string }>();
  for (const { day, energy_kcal, keys } of parts) {
    const before = found.get(keys[kind]) ?? { energy_kcal: 0, day };
    found.set(keys[kind], {
      energy_kcal: before.energy_kcal + energy_kcal,
      day: before.day > day ? before.day : day,
    });
  }
  return [...found]
    .map(([key, { energy_kcal, day }]) => ({
      key,
      energy_kcal,
      share: whole_kcal > 0 ? energy_kcal / whole_kcal : null,
      days_since: Math.round((Date.parse(last) - Date.parse(day)) / DAY_MS),
    }))
    .sort(
      (a, b) =>
        b.energy_kcal - a.energy_kcal ||
        a.days_since - b.days_since ||
        (a.key < b.key ? -1 : a.key > b.key ? 1 : 0),
    );
}
