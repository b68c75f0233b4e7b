/** Everything the page of a dog shows, read from this phone's records. */
import { record, records, type Rec } from '../../db/store.svelte';
import { addDays } from '../../ui/days';
import { readDogs, type Dogs } from '../plan/eaters';
import type { MealRecord } from '../today/meals';
import { mealsBetween, readTable, type Table } from '../today/table';

export interface DogPage {
  readonly dog: Rec<'dog'> | null;
  readonly dogs: Dogs;
  readonly weighings: readonly Rec<'weighing'>[];
  readonly conditions: readonly Rec<'condition'>[];
  readonly observations: readonly Rec<'observation'>[];
  readonly meals: readonly MealRecord[];
  readonly table: Table | null;
}

/** Days of meals in the timeline; older ones are on their own day's page. */
export const TIMELINE_DAYS = 28;

function eaten(meals: readonly MealRecord[], dog: string): MealRecord[] {
  return meals
    .map(({ meal, servings }) => ({
      meal,
      servings: servings.filter(({ values }) => values.dog === dog),
    }))
    .filter(({ servings }) => servings.length > 0);
}

export async function readDogPage(rid: string, today: string): Promise<DogPage> {
  const [dog, dogs, weighings, conditions, observations, meals, table] = await Promise.all([
    record('dog', rid),
    readDogs(),
    records('weighing', { owner: rid }),
    records('condition', { owner: rid }),
    records('observation', { owner: rid }),
    mealsBetween(addDays(today, -TIMELINE_DAYS), today),
    readTable(today),
  ]);
  return {
    dog: dog && !dog.gone ? dog : null,
    dogs,
    weighings,
    conditions,
    observations,
    meals: eaten(meals, rid),
    table,
  };
}

/** The weighing before a moment, as what another one is compared with; never that one itself. */
export function weighingBefore(
  weighings: readonly Rec<'weighing'>[],
  at: string,
  opened: string | undefined,
): Rec<'weighing'> | undefined {
  return weighings
    .filter(({ rid, values }) => rid !== opened && values.at <= at)
    .reduce<Rec<'weighing'> | undefined>(
      (last, each) => (last && last.values.at > each.values.at ? last : each),
      undefined,
    );
}
