/** Writes meals: what each dog got, and what that took out of store, as one entry or none. */
import {
  app,
  create,
  edit,
  mealId,
  record,
  records,
  remove,
  servingId,
  transact,
  type Rec,
} from '../../db/store.svelte';
import { slotId } from '../../domain/ids';
import type { Serving } from '../../domain/kinds';
import { instantAt } from '../../ui/days';
import { mayWrite } from '../household/rights';
import { takings, type Larder, type Taking } from '../stores/larder';
import type { MealRecord } from './meals';

export interface MealSlot {
  readonly mealtime: Rec<'mealtime'> | null;
  readonly day: string;
  /** When it was fed. */
  readonly at: string;
}

/** One dog's part, before it is a record. */
export type Bowl = Pick<Serving, 'dog' | 'what' | 'offered_g'> &
  Partial<Pick<Serving, 'left' | 'appetite' | 'note'>>;

/** What a serving takes out of store; nothing for food that is not kept there. */
export function takenBy(what: Serving['what'], offered_g: number, larder: Larder): Taking[] {
  const mass_g = Math.round(offered_g);
  if (mass_g < 1) return [];
  if (what.bag) return [{ of: what.bag, mass_g }];
  return what.food ? takings(larder, what.food, mass_g) : [];
}

/** The same serving on two phones takes the same out of store once: the entry's id says so. */
function movementId(serving: string, taking: Taking): string {
  return slotId('used', serving, taking.of, String(taking.mass_g));
}

async function settleStock(serving: string, wanted: readonly Taking[], at: string): Promise<void> {
  // Who may not change the stores feeds all the same; the next count sets them right.
  if (!mayWrite('movement')) return;
  const now = await records('movement', { where: (movement) => movement.serving === serving });
  const ids = new Set(wanted.map((taking) => movementId(serving, taking)));
  for (const movement of now) if (!ids.has(movement.rid)) await remove(movement);
  const known = new Set(now.map((movement) => movement.rid));
  for (const taking of wanted) {
    const rid = movementId(serving, taking);
    if (!known.has(rid)) await create('movement', { ...taking, what: 'used', at, serving }, rid);
  }
}

/** The hour of the mealtime, not the minute of the tap: two phones then write the very same entry. */
function takenAt({ mealtime, day, at }: MealSlot): string {
  const zone = app.household?.time_zone;
  return mealtime && zone ? instantAt(day, mealtime.values.time, zone) : at;
}

function household(): string {
  const id = app.household?.id;
  if (id === undefined) throw new Error('No household is open on this phone. Sign in first.');
  return id;
}

async function ensureMeal(slot: MealSlot, rid: string): Promise<void> {
  const known = await record('meal', rid);
  if (known && !known.gone) return;
  const { mealtime, day, at } = slot;
  await create(
    'meal',
    { mealtime: mealtime?.rid ?? null, name: mealtime?.values.name ?? 'Extra', day, at },
    rid,
  );
}

/** Feeds dogs at a mealtime; a dog that has its bowl already is left alone. Returns the meal's id. */
export async function feed(
  slot: MealSlot,
  bowls: readonly Bowl[],
  larder: Larder,
): Promise<string> {
  const meal = slot.mealtime
    ? mealId(household(), slot.mealtime.rid, slot.day)
    : slotId('extra', household(), slot.day, slot.at);
  await transact(async () => {
    await ensureMeal(slot, meal);
    for (const bowl of bowls) {
      const rid = servingId(meal, bowl.dog);
      const known = await record('serving', rid);
      if (known && !known.gone) continue;
      await create('serving', { left: null, appetite: null, note: null, ...bowl, meal }, rid);
      await settleStock(rid, takenBy(bowl.what, bowl.offered_g, larder), takenAt(slot));
    }
  });
  return meal;
}

export type ServingChanges = Partial<
  Pick<Serving, 'what' | 'offered_g' | 'left' | 'appetite' | 'note'>
>;

/** Changes a serving that is written down, and the stores with it. */
export async function changeServing(
  serving: Rec<'serving'>,
  changes: ServingChanges,
  larder: Larder,
): Promise<void> {
  const next = { ...serving.values, ...changes };
  const isOther =
    JSON.stringify(next.what) !== JSON.stringify(serving.values.what) ||
    next.offered_g !== serving.values.offered_g;
  await transact(async () => {
    await edit(serving, changes);
    if (isOther) await settleServing(serving.rid, larder);
  });
}

/**
 * Brings the stores in line with what a serving says now, after two phones said different things.
 * One that is gone takes nothing out of them.
 */
export async function settleServing(rid: string, larder: Larder): Promise<void> {
  const serving = await record('serving', rid);
  const meal = serving ? await record('meal', serving.values.meal) : undefined;
  if (serving?.gone) return transact(() => settleStock(rid, [], ''));
  if (!serving || !meal) return;
  const mealtime = meal.values.mealtime
    ? await record('mealtime', meal.values.mealtime)
    : undefined;
  const at = takenAt({ mealtime: mealtime ?? null, day: meal.values.day, at: meal.values.at });
  const { what, offered_g } = serving.values;
  await transact(() => settleStock(rid, takenBy(what, offered_g, larder), at));
}

/** Takes one dog's serving back, and the meal with it when it was the last. */
export async function takeBackServing(from: MealRecord, serving: Rec<'serving'>): Promise<void> {
  await transact(async () => {
    await settleStock(serving.rid, [], '');
    await remove(serving);
    if (from.servings.every((other) => other.rid === serving.rid)) await remove(from.meal);
  });
}

/** Takes a whole meal back: children first, so that nothing keeps it alive. */
export async function takeBackMeal({ meal, servings }: MealRecord): Promise<void> {
  await transact(async () => {
    for (const serving of servings) {
      await settleStock(serving.rid, [], '');
      await remove(serving);
    }
    await remove(meal);
  });
}

/** Sets when a meal was fed. */
export async function moveMeal(meal: Rec<'meal'>, at: string): Promise<void> {
  await edit(meal, { at });
}
