/** How varied a dog's food was, in words: shares of the energy, and how long ago each was fed. */
import { NOT_SAID, rotation, type Fed, type Rotation, type Turn } from '../../domain/rotation';
import type { Tables } from '../../domain/tables';
import { countWord, fixed } from '../../ui/words';
import type { Kitchen } from '../plan/judged';
import { kindTitles, type EatenServing } from './balance';

/** So many days are looked back on for when something was last fed. */
export const LOOK_BACK_DAYS = 56;

/** The figure of what was fed in those days, but not in the window. */
export const NONE = 'none';

export const VARIETY_KINDS = [
  { value: 'species', label: 'Animal' },
  { value: 'parts', label: 'Part' },
  { value: 'styles', label: 'How it was fed' },
] as const;

export type VarietyKind = (typeof VARIETY_KINDS)[number]['value'];

export interface VarietyRow {
  readonly key: string;
  readonly figure: string;
  readonly title: string;
  readonly detail: string;
}

/** Servings as the rotation reads them; food this phone has no composition of is left out. */
function fedOf(servings: readonly EatenServing[], kitchen: Kitchen): Fed[] {
  return servings.map(({ day, dish, eaten_g }) => ({
    day,
    style: dish.kind,
    portions: dish.parts.flatMap(({ food, mass_g }) => {
      const row = kitchen.food(food);
      if (row === null) return [];
      // A copy with figures of one's own is still of the same animal.
      return [[{ ...row, key: kitchen.kind(food)?.key ?? food }, mass_g * eaten_g] as const];
    }),
  }));
}

export function varietyOf(
  servings: readonly EatenServing[],
  kitchen: Kitchen,
  span: { readonly first: string; readonly last: string },
): Rotation | null {
  const { tables } = kitchen;
  if (tables === null) return null;
  const found = rotation(tables, fedOf(servings, kitchen), span);
  return found.energy_kcal > 0 ? found : null;
}

function agoWords(days: number): string {
  if (days === 0) return 'fed on the last day';
  return days === 1 ? 'last fed the day before' : `last fed ${countWord(days)} days ago`;
}

function nameOf(tables: Tables, kind: VarietyKind, key: string): string {
  if (key === NOT_SAID) return 'Your own foods: not said';
  if (kind === 'styles') return (kindTitles as Readonly<Record<string, string>>)[key] ?? key;
  return tables.origins?.[kind][key] ?? key;
}

function shareWords({ share }: Turn): string {
  if (share === null) return '?';
  if (share === 0) return NONE;
  return share < 0.005 ? '<1 %' : `${fixed(share * 100, 0)} %`;
}

/** The largest share first; what was not fed in the window comes last, with how long ago. */
export function varietyRows(tables: Tables, found: Rotation, kind: VarietyKind): VarietyRow[] {
  return found[kind].map((turn) => ({
    key: turn.key,
    figure: shareWords(turn),
    title: nameOf(tables, kind, turn.key),
    detail: agoWords(turn.days_since),
  }));
}
