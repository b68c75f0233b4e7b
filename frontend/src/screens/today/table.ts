/** Everything a day of meals needs, read from this phone's records. */
import { app, records, type Rec } from '../../db/store.svelte';
import { addDays } from '../../ui/days';
import { readDogs, noDogs, type Dogs } from '../plan/eaters';
import { kitchenOf } from '../plan/judged';
import { emptyLarder, readLarder, type Larder } from '../stores/larder';
import { servedKey, type Pantry } from './dishes';
import type { MealRecord } from './meals';
import type { Served } from '../../domain/kinds';

export interface Table {
  readonly dogs: Dogs;
  readonly larder: Larder;
  readonly weighIns: readonly Rec<'weigh_in'>[];
  /** Meals of the day. */
  readonly meals: readonly MealRecord[];
  /** Meals of the days before, oldest first, to remember what each mealtime uses. */
  readonly before: readonly MealRecord[];
  readonly duties: readonly Rec<'duty'>[];
  readonly observations: readonly Rec<'observation'>[];
}

export const emptyTable: Table = {
  dogs: noDogs,
  larder: emptyLarder,
  weighIns: [],
  meals: [],
  before: [],
  duties: [],
  observations: [],
};

/** Days looked back on for what a mealtime usually uses, and for how the dogs ate. */
const LOOK_BACK_DAYS = 7;

export async function mealsBetween(from: string, to: string): Promise<MealRecord[]> {
  const meals = await records('meal', { from, to });
  const servings = await Promise.all(meals.map((meal) => records('serving', { owner: meal.rid })));
  return meals
    .map((meal, index) => ({ meal, servings: servings[index] ?? [] }))
    .sort((a, b) => a.meal.values.at.localeCompare(b.meal.values.at));
}

export async function readTable(day: string): Promise<Table> {
  const [dogs, larder, weighIns, meals, before, duties, observations] = await Promise.all([
    readDogs(),
    readLarder(),
    records('weigh_in'),
    mealsBetween(day, day),
    mealsBetween(addDays(day, -LOOK_BACK_DAYS), addDays(day, -1)),
    records('duty'),
    records('observation', { from: addDays(day, -2) }),
  ]);
  return { dogs, larder, weighIns, meals, before, duties, observations };
}

export function pantryOf({ larder, weighIns }: Pick<Table, 'larder' | 'weighIns'>): Pantry {
  const groups = new Map<string, Rec<'weigh_in'>[]>();
  for (const entry of weighIns) {
    const group = groups.get(entry.values.batch);
    if (group === undefined) groups.set(entry.values.batch, [entry]);
    else group.push(entry);
  }
  return {
    kitchen: kitchenOf(app.tables, larder.foods),
    own: larder.foods,
    batches: larder.batches,
    bags: new Map(larder.bags.map((bag) => [bag.rec.rid, bag.rec])),
    weighIns: groups,
  };
}

/** What most bowls of a meal held. */
function usedIn({ servings }: MealRecord): Served | null {
  const counts = new Map<string, { what: Served; count: number }>();
  for (const { values } of servings) {
    const key = servedKey(values.what);
    counts.set(key, { what: values.what, count: (counts.get(key)?.count ?? 0) + 1 });
  }
  const most = [...counts.values()].reduce<{ what: Served; count: number } | null>(
    (best, each) => (best === null || each.count > best.count ? each : best),
    null,
  );
  return most?.what ?? null;
}

/** What this mealtime used last, wherever that was; null when it was never fed. */
export function remembered(
  table: Pick<Table, 'before' | 'meals'>,
  mealtime: string,
): Served | null {
  const own = table.before.filter(
    ({ meal, servings }) => meal.values.mealtime === mealtime && servings.length > 0,
  );
  const last = own.at(-1);
  return last ? usedIn(last) : null;
}

/**
 * The bag to use in place of one that is used up: the next of the same batch, those in the fridge
 * first, the oldest first. The bag itself while there is something in it.
 */
export function bagToUse(larder: Larder, bag: string): string | null {
  const own = larder.bags.find((each) => each.rec.rid === bag);
  if (own && own.stock.total_g > 0) return bag;
  const next = larder.bags
    .filter((each) => each.rec.values.batch === own?.rec.values.batch && each.stock.total_g > 0)
    .sort(
      (a, b) =>
        Number(isInFridge(b)) - Number(isInFridge(a)) ||
        a.rec.values.packed_at.localeCompare(b.rec.values.packed_at),
    )[0];
  return next?.rec.rid ?? null;
}

/** Whether a bag can be fed from: kept in the fridge, or thawing there. */
export function isInFridge(bag: Larder['bags'][number]): boolean {
  return bag.rec.values.place === 'fridge' || bag.stock.thawed_g > 0;
}

/** The use-by day of a bag that is past it on a day; null while it is good, or has none. */
export function pastUseBy(larder: Larder, what: Served | null, day: string): string | null {
  const bag = larder.bags.find((each) => each.rec.rid === what?.bag);
  const useBy = bag?.rec.values.use_by ?? null;
  return useBy !== null && useBy < day ? useBy : null;
}

/** What the next meal at a mealtime uses: what it used last, or the next bag of the same batch. */
export function nextServed(
  table: Pick<Table, 'before' | 'meals' | 'larder'>,
  mealtime: string,
): Served | null {
  const last = remembered(table, mealtime);
  if (!last?.bag) return last;
  const bag = bagToUse(table.larder, last.bag);
  return bag === null ? null : { food: null, batch: null, bag };
}
