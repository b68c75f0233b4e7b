/** Everything a day of meals needs, read from this phone's records. */
import { app, records, recordsOf, together, type Rec } from '../../db/store.svelte';
import { addDays, dayOf } from '../../ui/days';
import { inHand } from '../counter/look';
import { readDues, type Due } from '../duties/due';
import { readDogs, noDogs, type Dogs } from '../plan/eaters';
import { kitchenOf } from '../plan/judged';
import type { Thing } from '../plan/pulls-physics';
import { emptyShelves, readShelves, type Shelves } from '../stores/larder';
import { servedKey, type Pantry } from './dishes';
import type { MealRecord } from './meals';
import { travelOn } from './travel';
import type { Served } from '../../domain/kinds';

export interface Table {
  readonly dogs: Dogs;
  readonly larder: Shelves;
  readonly weighIns: readonly Rec<'weigh_in'>[];
  /** Meals of the day. */
  readonly meals: readonly MealRecord[];
  /** Meals of the days before, oldest first, to remember what each mealtime uses. */
  readonly before: readonly MealRecord[];
  readonly duties: readonly Due[];
  readonly observations: readonly Rec<'observation'>[];
  readonly travels: readonly Rec<'travel'>[];
}

export const emptyTable: Table = {
  dogs: noDogs,
  larder: emptyShelves,
  weighIns: [],
  meals: [],
  before: [],
  duties: [],
  observations: [],
  travels: [],
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

/** The batches of which somebody may ask what is in them: served lately, in store, or just made. */
function batchesAsked(
  larder: Shelves,
  meals: readonly MealRecord[],
  bag: string | null,
  span: { readonly today: string; readonly zone: string },
): Set<string> {
  const bagged = new Map(larder.bags.map(({ rec }) => [rec.rid, rec.values.batch]));
  const asked = new Set<string>();
  const ask = (what: Partial<Served>): void => {
    const batch = what.bag ? bagged.get(what.bag) : what.batch;
    if (batch != null) asked.add(batch);
  };
  if (bag !== null) ask({ bag });
  for (const { servings } of meals) for (const { values } of servings) ask(values.what);
  for (const { rec, stock } of larder.bags) if (stock.total_g > 0) ask({ batch: rec.values.batch });
  for (const batch of looseBatches(larder)) ask({ batch: batch.rid });
  for (const { batch } of restsOf(larder, meals, span)) ask({ batch: batch.rid });
  return asked;
}

type WeighInsOf = (
  larder: Shelves,
  meals: readonly MealRecord[],
) => Promise<readonly Rec<'weigh_in'>[]>;

/** What a day of meals needs, and what is in every batch there ever was: meals of any day can be judged. */
export async function readTable(day: string): Promise<Table> {
  return tableWith(day, () => records('weigh_in'));
}

/**
 * What a day of meals needs, and no more: of older batches nobody knows here what went in.
 *
 * @param bag one that was scanned, and may be served though nothing is left of it by the book
 */
export async function readDay(day: string, bag: string | null): Promise<Table> {
  const zone = app.household?.time_zone ?? 'UTC';
  const span = { today: dayOf(Date.now(), zone), zone };
  return tableWith(day, (larder, meals) =>
    recordsOf('weigh_in', batchesAsked(larder, meals, bag, span)),
  );
}

async function tableWith(day: string, weighInsOf: WeighInsOf): Promise<Table> {
  const zone = app.household?.time_zone ?? 'UTC';
  const today = dayOf(Date.now(), zone);
  return together(async () => {
    const [dogs, larder, meals, before, duties, observations, travels] = await Promise.all([
      readDogs(),
      readShelves(),
      mealsBetween(day, day),
      mealsBetween(addDays(day, -LOOK_BACK_DAYS), addDays(day, -1)),
      readDues({ from: day, to: day, today, zone }),
      records('observation', { from: addDays(day, -2) }),
      records('travel'),
    ]);
    const weighIns = await weighInsOf(larder, [...meals, ...before]);
    return { dogs, larder, weighIns, meals, before, duties, observations, travels };
  });
}

/** The newest batches that are mixed or done and were never bagged: they are served as they are. */
export function looseBatches(larder: Pick<Shelves, 'bags' | 'batches'>): Rec<'batch'>[] {
  const bagged = new Set(larder.bags.map((bag) => bag.rec.values.batch));
  return [...larder.batches.values()]
    .filter(
      ({ rid, values }) =>
        !bagged.has(rid) && (values.stage === 'mixed' || values.stage === 'done'),
    )
    .sort((a, b) => (b.values.made_at ?? '').localeCompare(a.values.made_at ?? ''))
    .slice(0, 6);
}

/**
 * Days for which the rest of a batch is offered. Our choice: as long as cooked meat keeps in the
 * fridge, 3 to 4 days (FoodSafety.gov, Cold Food Storage Chart).
 */
export const REST_DAYS = 4;

export interface BatchRest {
  readonly batch: Rec<'batch'>;
  readonly made_on: string;
  readonly rest_g: number;
}

/**
 * What fills no bag of batches made lately, less what was fed of it: bowls are filled from it
 * first. The newest batch first.
 */
export function restsOf(
  larder: Pick<Shelves, 'bags' | 'batches'>,
  meals: readonly MealRecord[],
  { today, zone }: { readonly today: string; readonly zone: string },
): BatchRest[] {
  const gone_g = new Map<string, number>();
  const take = (batch: string, mass_g: number): void => {
    gone_g.set(batch, (gone_g.get(batch) ?? 0) + mass_g);
  };
  for (const { rec } of larder.bags) take(rec.values.batch, rec.values.mass_g * rec.values.count);
  const bagged = new Set(gone_g.keys());
  for (const { servings } of meals)
    for (const { values } of servings)
      if (values.what.batch) take(values.what.batch, values.offered_g);
  return [...larder.batches.values()]
    .flatMap((batch) => {
      const { yield_g, made_at } = batch.values;
      if (yield_g == null || made_at == null || !bagged.has(batch.rid)) return [];
      const made_on = dayOf(made_at, zone);
      const rest_g = Math.round(yield_g - (gone_g.get(batch.rid) ?? 0));
      return made_on >= addDays(today, -REST_DAYS) && rest_g > 0
        ? [{ batch, made_on, rest_g }]
        : [];
    })
    .sort((a, b) => b.made_on.localeCompare(a.made_on));
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

/** What this mealtime used last, but for dry food while travelling; null when it was never fed. */
export function remembered(
  table: Pick<Table, 'before' | 'travels'>,
  mealtime: string,
): Served | null {
  const own = table.before
    .filter(({ meal }) => meal.values.mealtime === mealtime)
    .map((record) => {
      const away = travelOn(table.travels, record.meal.values.day);
      const what = usedIn(record);
      return away && what?.food === away.values.food ? null : what;
    })
    .filter((what) => what !== null);
  return own.at(-1) ?? null;
}

/** The next bag of a batch: those in the fridge first, the oldest first; null when all are used up. */
function nextBagOf(larder: Shelves, batch: string): string | null {
  const next = larder.bags
    .filter((each) => each.rec.values.batch === batch && each.stock.total_g > 0)
    .sort(
      (a, b) =>
        Number(isInFridge(b)) - Number(isInFridge(a)) ||
        a.rec.values.packed_at.localeCompare(b.rec.values.packed_at),
    )[0];
  return next?.rec.rid ?? null;
}

/** The bag to use in place of one that is used up; the bag itself while there is something in it. */
export function bagToUse(larder: Shelves, bag: string): string | null {
  const own = larder.bags.find((each) => each.rec.rid === bag);
  if (own && own.stock.total_g > 0) return bag;
  return own ? nextBagOf(larder, own.rec.values.batch) : null;
}

/** What fills no bag of a batch lasts no longer than it does; then its bags are fed. */
function hasNoRest(
  { before, meals, larder }: Pick<Table, 'before' | 'meals' | 'larder'>,
  batch: string,
  today: string,
): boolean {
  const isBagged = larder.bags.some(({ rec }) => rec.values.batch === batch);
  const zone = app.household?.time_zone ?? 'UTC';
  const rests = restsOf(larder, [...before, ...meals], { today, zone });
  return isBagged && rests.every((rest) => rest.batch.rid !== batch);
}

/** Whether a bag can be fed from: kept in the fridge, or thawing there. */
export function isInFridge(bag: Shelves['bags'][number]): boolean {
  return bag.rec.values.place === 'fridge' || bag.stock.thawed_g > 0;
}

/** The bag that is fed from, or of a food the lot that its next grams come from. */
export function inHandOf(larder: Shelves, what: Served | null): Thing | null {
  if (what?.food) return inHand(larder, what.food);
  return larder.bags.find((each) => each.rec.rid === what?.bag) ?? null;
}

/** The use-by day of a bag that is past it on a day; null while it is good, or has none. */
export function pastUseBy(larder: Shelves, what: Served | null, day: string): string | null {
  const bag = larder.bags.find((each) => each.rec.rid === what?.bag);
  const useBy = bag?.rec.values.use_by ?? null;
  return useBy !== null && useBy < day ? useBy : null;
}

/**
 * What a meal at a mealtime uses: the dry food of a day of travelling, else what it used last, or
 * the next bag of the same batch.
 */
export function nextServed(
  table: Pick<Table, 'before' | 'meals' | 'larder' | 'travels'>,
  mealtime: string,
  day: string,
): Served | null {
  const away = travelOn(table.travels, day);
  if (away) return { food: away.values.food, batch: null, bag: null };
  const last = remembered(table, mealtime);
  const bagOf = (bag: string | null): Served | null =>
    bag === null ? null : { food: null, batch: null, bag };
  if (last?.bag) return bagOf(bagToUse(table.larder, last.bag));
  if (last?.batch && hasNoRest(table, last.batch, day))
    return bagOf(nextBagOf(table.larder, last.batch));
  return last;
}

export interface FoodInFridge {
  readonly food: string;
  readonly mass_g: number;
  /** Since when the oldest of it has thawed; null for what was never frozen. */
  readonly since: string | null;
}

/** Foods that lie ready in the fridge, thawed or never frozen; what thawed first comes first. */
export function foodsInFridge(larder: Shelves): FoodInFridge[] {
  const found = new Map<string, FoodInFridge>();
  for (const { rec, stock } of larder.lots) {
    const isKept = rec.values.place === 'fridge';
    const mass_g = isKept ? stock.total_g : stock.thawed_g;
    if (mass_g <= 0) continue;
    const { food } = rec.values;
    const since = isKept ? null : (stock.thaws[0]?.since ?? null);
    const other = found.get(food);
    const sinces = [other?.since, since].filter((each) => each != null).sort();
    found.set(food, { food, mass_g: mass_g + (other?.mass_g ?? 0), since: sinces[0] ?? null });
  }
  return [...found.values()].sort((a, b) => (a.since ?? '9').localeCompare(b.since ?? '9'));
}
