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
import { slotId, uuid7 } from '../../domain/ids';
import type { Meal, Serving } from '../../domain/kinds';
import { sum } from '../../domain/sums';
import { addDays, dayOf, instantAt } from '../../ui/days';
import { mayWrite } from '../household/rights';
import { givenBack, takings, type Shelves, type Taking } from '../stores/larder';
import type { MealRecord } from './meals';

export interface MealSlot {
  readonly mealtime: Rec<'mealtime'> | null;
  readonly day: string;
  /** When it was fed. */
  readonly at: string;
}

/** An extra: it is of the day its hour lies in, whichever day was open. */
export function extraAt(at: string): MealSlot {
  return { mealtime: null, day: dayOf(at, app.household?.time_zone ?? 'UTC'), at };
}

/** One dog's part, before it is a record. */
export type Bowl = Pick<Serving, 'dog' | 'what' | 'offered_g'> &
  Partial<Pick<Serving, 'left' | 'appetite' | 'note'>>;

type Offer = Pick<Serving, 'what' | 'offered_g'>;

/** The first grams of what is taken for several, and what stays for the others. */
function dealt(pool: readonly Taking[], mass_g: number): { taken: Taking[]; rest: Taking[] } {
  const taken: Taking[] = [];
  const rest: Taking[] = [];
  let left_g = mass_g;
  for (const { of, mass_g: pool_g } of pool) {
    const part_g = Math.min(left_g, pool_g);
    left_g -= part_g;
    if (part_g > 0) taken.push({ of, mass_g: part_g });
    if (part_g < pool_g) rest.push({ of, mass_g: pool_g - part_g });
  }
  return { taken, rest };
}

/**
 * What each of several servings takes out of store; nothing for food that is not kept there. All
 * that is offered of a food is taken as one and dealt out in turn: what the lots do not hold is
 * then charged to the last of them, whichever bowl it fills.
 */
function takenBy(offers: readonly Offer[], larder: Shelves): Taking[][] {
  const asked_g = new Map<string, number>();
  for (const { what, offered_g } of offers) {
    if (what.food) asked_g.set(what.food, (asked_g.get(what.food) ?? 0) + Math.round(offered_g));
  }
  const pools = new Map([...asked_g].map(([food, g]) => [food, takings(larder, food, g)]));
  return offers.map(({ what, offered_g }) => {
    const mass_g = Math.round(offered_g);
    if (what.bag) return mass_g < 1 ? [] : [{ of: what.bag, mass_g }];
    if (!what.food) return [];
    const { taken, rest } = dealt(pools.get(what.food) ?? [], mass_g);
    pools.set(what.food, rest);
    return taken;
  });
}

/** The same serving on two phones takes the same out of store once: the entry's id says so. */
function movementId(serving: string, taking: Taking): string {
  return slotId('used', serving, taking.of, String(taking.mass_g));
}

/** Days around a meal's in which its entries lie: a time zone makes one, its own time another. */
const AROUND_DAYS = 2;

/**
 * What a serving has taken out of store. At a mealtime it was entered at that hour, so that a few
 * days need to be read; an extra, or a meal that this phone does not know, may lie anywhere.
 */
async function takenFor(
  serving: string,
  meal: Pick<Meal, 'mealtime' | 'day' | 'at'> | undefined,
): Promise<Rec<'movement'>[]> {
  const days = meal ? [meal.day, meal.at.slice(0, 10)].sort() : [];
  const [first, last] = [days[0], days.at(-1)];
  const span =
    meal?.mealtime && first && last
      ? { from: addDays(first, -AROUND_DAYS), to: addDays(last, AROUND_DAYS) }
      : {};
  return records('movement', { ...span, where: (movement) => movement.serving === serving });
}

/** Whether somebody has counted since: what is there was seen, whatever the entry says. */
async function isCounted({ rid, values }: Rec<'movement'>): Promise<boolean> {
  const counts = await records('count', { owner: values.of });
  return counts.some((count) => count.values.knew.includes(rid));
}

/**
 * Enters what is wanted and takes away what is not; `now` is what there is. What was counted since
 * stays as it was: another entry in its place would be taken off the count once more.
 */
async function settleStock(
  serving: string,
  now: readonly Rec<'movement'>[],
  wanted: readonly Taking[],
  at: string,
): Promise<void> {
  // Who may not change the stores feeds all the same; the next count sets them right.
  if (!mayWrite('movement')) return;
  const ids = new Set(wanted.map((taking) => movementId(serving, taking)));
  const things = new Set(wanted.map(({ of }) => of));
  const counted = new Set<string>();
  for (const movement of now) {
    const { of } = movement.values;
    if (things.has(of) && (await isCounted(movement))) counted.add(of);
    else if (!ids.has(movement.rid)) await remove(movement);
  }
  const known = new Set(now.map((movement) => movement.rid));
  for (const taking of wanted) {
    const rid = movementId(serving, taking);
    if (known.has(rid) || counted.has(taking.of)) continue;
    await create('movement', { ...taking, what: 'used', at, serving }, rid);
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

/**
 * Feeds dogs at a mealtime, where a dog that has its bowl already is left alone; or gives them an
 * extra, of which there may be several in one minute. Returns the meal's id.
 */
export async function feed(
  slot: MealSlot,
  bowls: readonly Bowl[],
  larder: Shelves,
): Promise<string> {
  const meal = slot.mealtime ? mealId(household(), slot.mealtime.rid, slot.day) : uuid7();
  await transact(async () => {
    await ensureMeal(slot, meal);
    const open = [];
    for (const bowl of bowls) {
      const rid = servingId(meal, bowl.dog);
      const known = await record('serving', rid);
      if (!known || known.gone) open.push({ ...bowl, rid });
    }
    const wanted = takenBy(open, larder);
    for (const [index, { rid, ...bowl }] of open.entries()) {
      await create('serving', { left: null, appetite: null, note: null, ...bowl, meal }, rid);
      // An extra was never there and has taken nothing; it would be looked for everywhere.
      const { mealtime, day, at } = slot;
      const now = mealtime ? await takenFor(rid, { mealtime: mealtime.rid, day, at }) : [];
      await settleStock(rid, now, wanted[index] ?? [], takenAt(slot));
    }
  });
  return meal;
}

export type ServingChanges = Partial<
  Pick<Serving, 'what' | 'offered_g' | 'left' | 'appetite' | 'note'>
>;

/** One serving that is written down, and what it is to say instead. */
export interface ServingChange {
  readonly serving: Rec<'serving'>;
  readonly changes: ServingChanges;
}

function isOther({ serving: { values }, changes }: ServingChange): boolean {
  const next = { ...values, ...changes };
  return (
    JSON.stringify(next.what) !== JSON.stringify(values.what) || next.offered_g !== values.offered_g
  );
}

/** Changes servings that are written down, and the stores with them: all of it or nothing. */
export async function changeServings(
  all: readonly ServingChange[],
  larder: Shelves,
): Promise<void> {
  await transact(async () => {
    for (const { serving, changes } of all) await edit(serving, changes);
    await settleServings(
      all.filter(isOther).map(({ serving }) => serving.rid),
      larder,
    );
  });
}

/**
 * What a serving took of what it still holds, and somebody has counted since. The count saw it gone:
 * taken from anywhere else it would be missing there as well.
 */
async function seenGone(
  { what, offered_g }: Offer,
  now: readonly Rec<'movement'>[],
  { lots }: Shelves,
): Promise<Rec<'movement'>[]> {
  const isHeld = (of: string): boolean =>
    of === what.bag || lots.some(({ rec }) => rec.rid === of && rec.values.food === what.food);
  const seen: Rec<'movement'>[] = [];
  // In an order that is the same on every phone.
  for (const movement of [...now].sort((a, b) => (a.rid < b.rid ? -1 : 1))) {
    const isEnough = sum(seen.map(({ values }) => values.mass_g)) >= offered_g;
    if (!isEnough && isHeld(movement.values.of) && (await isCounted(movement))) seen.push(movement);
  }
  return seen;
}

/** What a serving is still to take: what a counted lot holds besides, the count has seen too. */
function stillToTake(
  { what, offered_g }: Offer,
  seen: readonly Rec<'movement'>[],
  { lots }: Shelves,
): Offer {
  if (seen.length === 0) return { what, offered_g };
  const of = new Set(seen.map(({ values }) => values.of));
  const there = lots.filter(({ rec }) => of.has(rec.rid));
  const seen_g = sum(seen.map(({ values }) => values.mass_g));
  const there_g = sum(there.map(({ stock }) => Math.max(0, stock.total_g)));
  return { what, offered_g: what.bag ? 0 : Math.max(0, offered_g - seen_g - there_g) };
}

/** A serving as the store has it, what it took out of it so far, and what of that stays. */
async function takenSoFar(rid: string, larder: Shelves) {
  const serving = await record('serving', rid);
  const meal = serving ? await record('meal', serving.values.meal) : undefined;
  const now = await takenFor(rid, meal?.values);
  const seen = serving && !serving.gone ? await seenGone(serving.values, now, larder) : [];
  return { rid, serving, meal, now, seen };
}

/**
 * Brings the stores in line with what servings say now, in one transaction: after a change, or
 * after two phones said different things. Each gives back first what it took, so that one that
 * only grows stays with its lot; they then take in turn, each from what the others have left.
 * One that is gone, or was never taken by the server, takes nothing.
 */
export async function settleServings(rids: Iterable<string>, larder: Shelves): Promise<void> {
  await transact(async () => {
    const all = [];
    for (const rid of rids) all.push(await takenSoFar(rid, larder));
    const returned = all.flatMap(({ now, seen }) => now.filter((each) => !seen.includes(each)));
    const before = givenBack(
      larder,
      returned.map(({ values }) => values),
    );
    const held = all.flatMap(({ rid, serving, meal, now, seen }) =>
      serving && !serving.gone && meal ? [{ rid, serving, meal, now, seen }] : [],
    );
    for (const { rid, serving, now } of all)
      if (!serving || serving.gone) await settleStock(rid, now, [], '');
    const wanted = takenBy(
      held.map(({ serving, seen }) => stillToTake(serving.values, seen, larder)),
      before,
    );
    for (const [index, { rid, meal, now, seen }] of held.entries()) {
      const mealtime = meal.values.mealtime
        ? await record('mealtime', meal.values.mealtime)
        : undefined;
      const { day, at } = meal.values;
      const slot = { mealtime: mealtime ?? null, day, at };
      const stays = seen.map(({ values: { of, mass_g } }) => ({ of, mass_g }));
      await settleStock(rid, now, [...stays, ...(wanted[index] ?? [])], takenAt(slot));
    }
  });
}

/** Takes one dog's serving back, and the meal with it when it was the last. */
export async function takeBackServing(from: MealRecord, serving: Rec<'serving'>): Promise<void> {
  await transact(async () => {
    await settleStock(serving.rid, await takenFor(serving.rid, from.meal.values), [], '');
    await remove(serving);
    if (from.servings.every((other) => other.rid === serving.rid)) await remove(from.meal);
  });
}

/** Takes a whole meal back: children first, so that nothing keeps it alive. */
export async function takeBackMeal({ meal, servings }: MealRecord): Promise<void> {
  await transact(async () => {
    for (const serving of servings) {
      await settleStock(serving.rid, await takenFor(serving.rid, meal.values), [], '');
      await remove(serving);
    }
    await remove(meal);
  });
}

/** Sets when a meal was fed. */
export async function moveMeal(meal: Rec<'meal'>, at: string): Promise<void> {
  await edit(meal, { at });
}
