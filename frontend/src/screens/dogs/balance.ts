/** What a dog ate over some days, against what it needs. */
import type { Rec } from '../../db/store.svelte';
import { addDays } from '../../ui/days';
import { dishOf, type Dish, type DishKind, type Pantry } from '../today/dishes';
import { eatenShare, type MealRecord } from '../today/meals';
import type { Portion } from '../plan/judged';

export interface EatenServing {
  readonly day: string;
  readonly dish: Dish;
  readonly offered_g: number;
  readonly eaten_g: number;
  /** Nobody noted what was left: counted as eaten, and said. */
  readonly isAssumed: boolean;
}

/** Servings of one dog, what was left taken off. */
export function eatenOf(meals: readonly MealRecord[], dog: string, pantry: Pantry): EatenServing[] {
  return meals.flatMap(({ meal, servings }) =>
    servings
      .filter(({ values }) => values.dog === dog)
      .map((serving) => servingOf(serving, meal.values.day, pantry)),
  );
}

function servingOf({ values }: Rec<'serving'>, day: string, pantry: Pantry): EatenServing {
  const share = eatenShare(values);
  return {
    day,
    dish: dishOf(values.what, pantry),
    offered_g: values.offered_g,
    eaten_g: values.offered_g * (share ?? 1),
    isAssumed: share === null,
  };
}

/**
 * The last day to be counted as a whole one. Today is still being eaten until every mealtime of the
 * dog is written down; half a day would read as a day of eating too little. Where no mealtime is
 * for the dog, nobody can say that more is to come, nor that it is not.
 */
export function lastWholeDay(
  meals: readonly MealRecord[],
  dog: string,
  { meals_a_day, today }: { readonly meals_a_day: number; readonly today: string },
): string {
  const own = meals
    .filter(({ servings }) => servings.some(({ values }) => values.dog === dog))
    .map(({ meal }) => meal.values);
  const now = own.filter(({ day }) => day === today);
  const fed = new Set(now.flatMap(({ mealtime }) => mealtime ?? []));
  // On the very first day there is nothing else to show.
  const isFirstDay = now.length === own.length;
  const isWhole = meals_a_day > 0 && fed.size >= meals_a_day;
  return isWhole || isFirstDay ? today : addDays(today, -1);
}

export interface Intake {
  /** Days with a meal written down: the others are not days of fasting, but of not writing. */
  readonly days: number;
  readonly meals: number;
  readonly offered_g: number;
  readonly eaten_g: number;
  /** Energy of the part whose energy is known [kcal/day]. */
  readonly known_kcal_per_day: number | null;
  /** Share of the eaten mass whose energy is unknown, 0 to 1. */
  readonly unknown_share: number;
  /** Grams eaten of something whose foods nobody entered. */
  readonly unresolved_g: number;
  /** Share of the offered mass for which nobody noted what was left, 0 to 1. */
  readonly assumed_share: number;
  /** Grams of each food, for the nutrients. */
  readonly portions: readonly Portion[];
}

function sum<T>(rows: readonly T[], of: (row: T) => number): number {
  return rows.reduce((total, row) => total + of(row), 0);
}

export function intakeOf(servings: readonly EatenServing[]): Intake {
  const days = new Set(servings.map((serving) => serving.day)).size;
  const eaten_g = sum(servings, (serving) => serving.eaten_g);
  const offered_g = sum(servings, (serving) => serving.offered_g);
  const known = servings.filter((serving) => serving.dish.energy_kcal_per_g !== null);
  const energy = sum(known, (serving) => serving.eaten_g * (serving.dish.energy_kcal_per_g ?? 0));
  const known_g = sum(known, (serving) => serving.eaten_g);
  const assumed_g = sum(
    servings.filter((serving) => serving.isAssumed),
    (serving) => serving.offered_g,
  );
  const masses = new Map<string, number>();
  for (const { dish, eaten_g: grams } of servings)
    for (const { food, mass_g } of dish.parts)
      masses.set(food, (masses.get(food) ?? 0) + mass_g * grams);
  return {
    days,
    meals: servings.length,
    offered_g,
    eaten_g,
    known_kcal_per_day: days === 0 || known.length === 0 ? null : energy / days,
    unknown_share: eaten_g > 0 ? (eaten_g - known_g) / eaten_g : 0,
    unresolved_g: sum(
      servings.filter(({ dish }) => dish.parts.length === 0),
      (serving) => serving.eaten_g,
    ),
    assumed_share: offered_g > 0 ? assumed_g / offered_g : 0,
    portions: [...masses].map(([food, mass_g]) => ({ food, mass_g })),
  };
}

export const kindTitles: Readonly<Record<DishKind, string>> = {
  ground: 'Ground, raw',
  chopped: 'Chopped, raw',
  bone_in: 'Whole, with bone',
  cooked: 'Cooked',
  dry: 'Dry food',
  raw: 'Raw, single foods',
  treat: 'Treats',
  other: 'Something else',
};

export interface AteRow {
  readonly kind: DishKind;
  readonly meals: number;
  readonly title: string;
  /** What it was, the most frequent first. */
  readonly detail: string;
}

/** What the dog ate, by how it was made, the most frequent first. */
export function ateRows(servings: readonly EatenServing[]): AteRow[] {
  const groups = new Map<DishKind, EatenServing[]>();
  for (const serving of servings) {
    const group = groups.get(serving.dish.kind) ?? [];
    group.push(serving);
    groups.set(serving.dish.kind, group);
  }
  return [...groups]
    .map(([kind, group]) => ({
      kind,
      meals: group.length,
      title: kindTitles[kind],
      detail: dishNames(group),
    }))
    .sort((a, b) => b.meals - a.meals || a.title.localeCompare(b.title));
}

function dishNames(group: readonly EatenServing[]): string {
  const counts = new Map<string, number>();
  for (const { dish } of group) counts.set(dish.name, (counts.get(dish.name) ?? 0) + 1);
  const names = [...counts].sort((a, b) => b[1] - a[1]).map(([name]) => name);
  const shown = names.slice(0, 3).join('; ');
  return names.length > 3 ? `${shown}; ${names.length - 3} more` : shown;
}

/** "Ate 91 % of her energy need", as far as it can be said. */
export function energyTitle(
  intake: Intake,
  need_kcal_per_day: number | null,
  their: string,
): string {
  const { known_kcal_per_day: eaten, unknown_share } = intake;
  if (eaten === null || need_kcal_per_day === null) return 'Not enough is known yet';
  const percent = Math.round((eaten / need_kcal_per_day) * 100);
  return unknown_share > 0.005
    ? `Ate at least ${percent} % of ${their} energy need`
    : `Ate ${percent} % of ${their} energy need`;
}
