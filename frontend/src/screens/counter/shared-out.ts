/** The finished batch as meals: whose, when and how much, and the words for it. */
import type { MealOfDay, MealTable } from '../../domain/meal-table';
import { addDays, dayWords, shortDay } from '../../ui/days';
import type { Rec } from '../../db/store.svelte';
import { wholeEnergy_kcal, type Verdict } from '../plan/judged';

/** Energy of a batch to be shared out [kcal]; null while it is not known, or there is none. */
export function knownEnergy_kcal(verdict: Pick<Verdict, 'energy_kcal' | 'missing'>): number | null {
  const energy_kcal = wholeEnergy_kcal(verdict);
  return energy_kcal !== null && energy_kcal > 0 ? energy_kcal : null;
}

export interface Portioned {
  readonly key: string;
  readonly mass_g_per_meal: number;
  readonly meals_per_day: number;
}

/**
 * The meals of one day: the household's mealtimes by the clock, or as many as the dogs are taken to
 * have where none are written down.
 */
export function mealsOfDay(
  portions: readonly Portioned[],
  mealtimes: readonly Rec<'mealtime'>[],
): MealOfDay[] {
  const named = [...mealtimes]
    .sort((a, b) => a.values.time.localeCompare(b.values.time))
    .map(({ values }) => ({
      key: values.name,
      eats: (dog: string) => !values.dogs?.length || values.dogs.includes(dog),
    }));
  const without = portions.filter(({ key }) => !named.some(({ eats }) => eats(key)));
  const most = Math.max(0, ...without.map(({ meals_per_day }) => meals_per_day));
  const counted = Array.from({ length: most }, (_, index) => ({
    key: `Meal ${index + 1}`,
    eats: (dog: string) =>
      without.some(({ key, meals_per_day }) => key === dog && meals_per_day > index),
  }));
  return [...named, ...counted]
    .map(({ key, eats }) => ({
      key,
      dishes: portions
        .filter((portion) => eats(portion.key))
        .map((portion) => ({ dog: portion.key, mass_g: portion.mass_g_per_meal })),
    }))
    .filter(({ dishes }) => dishes.length > 0);
}

/** Days that follow one another and are fed alike. */
export interface Run {
  readonly from: string;
  readonly to: string;
  readonly day_g: number;
  readonly meals: readonly MealOfDay[];
}

/** The days of a table from a first day on, equal ones together. */
export function runs(table: MealTable, first: string): Run[] {
  const found: Run[] = [];
  table.days.forEach((meals, index) => {
    const day = addDays(first, index);
    const last = found.at(-1);
    if (last !== undefined && JSON.stringify(last.meals) === JSON.stringify(meals)) {
      found[found.length - 1] = { ...last, to: day };
      return;
    }
    const day_g = meals
      .flatMap(({ dishes }) => dishes)
      .reduce((sum, { mass_g }) => sum + mass_g, 0);
    found.push({ from: day, to: day, day_g, meals });
  });
  return found;
}

/** "Today, 29 Nov", "29 Nov to 1 Dec, each day". */
export function runTitle({ from, to }: Run, today: string): string {
  if (from !== to) return `${shortDay(from, today)} to ${shortDay(to, today)}, each day`;
  const words = dayWords(from, today);
  const day = shortDay(from, today);
  return words === day ? day : `${words.charAt(0).toUpperCase()}${words.slice(1)}, ${day}`;
}

export interface Dish {
  readonly dog: string;
  readonly mass_g: number;
  readonly meals: readonly string[];
}

/** What each dog gets at the meals of a day; meals with the same grams stand together. */
export function dishesOf(meals: readonly MealOfDay[]): Dish[] {
  const found = new Map<string, { dog: string; mass_g: number; meals: string[] }>();
  for (const { key, dishes } of meals) {
    for (const { dog, mass_g } of dishes) {
      const at = `${dog}|${mass_g}`;
      const dish = found.get(at) ?? { dog, mass_g, meals: [] };
      dish.meals.push(key);
      found.set(at, dish);
    }
  }
  const dogs = [...new Set(meals.flatMap(({ dishes }) => dishes.map(({ dog }) => dog)))];
  return dogs.flatMap((dog) => [...found.values()].filter((dish) => dish.dog === dog));
}
