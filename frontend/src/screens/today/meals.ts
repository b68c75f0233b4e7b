/** The meals of a day: which is next, what is fed, which dog to watch. */
import type { Rec } from '../../db/store.svelte';
import { mealId } from '../../domain/ids';
import type { Appetite, Serving } from '../../domain/kinds';

export interface MealRecord {
  readonly meal: Rec<'meal'>;
  readonly servings: readonly Rec<'serving'>[];
}

/** What a meal is called: its own name, that of its mealtime, or just a meal. */
export function mealName(meal: Rec<'meal'>, mealtimes: readonly Rec<'mealtime'>[]): string {
  const mealtime = mealtimes.find((each) => each.rid === meal.values.mealtime);
  return meal.values.name ?? mealtime?.values.name ?? 'Meal';
}

export interface Slot {
  readonly mealtime: Rec<'mealtime'>;
  /** Dogs that eat then, in the order of the household. */
  readonly dogs: readonly string[];
  readonly fed: MealRecord | null;
  readonly state: 'fed' | 'partly' | 'open';
}

/** A mealtime that names no dog is for all of them. */
export function dogsAt(mealtime: Rec<'mealtime'>, dogs: readonly string[]): string[] {
  const named = mealtime.values.dogs ?? [];
  return named.length === 0 ? [...dogs] : dogs.filter((dog) => named.includes(dog));
}

/** Whom a mealtime of a day is about: who eats then, or ate then and is no longer at home. */
export function eatersAt({ dogs, fed }: Pick<Slot, 'dogs' | 'fed'>): readonly string[] {
  return dogs.length > 0 ? dogs : (fed?.servings ?? []).map(({ values }) => values.dog);
}

/** The mealtimes of a day in the order of the clock, with what is written down for each. */
export function slotsOf(
  day: { readonly household: string; readonly day: string },
  mealtimes: readonly Rec<'mealtime'>[],
  dogs: readonly string[],
  meals: readonly MealRecord[],
): Slot[] {
  const byId = new Map(meals.map((record) => [record.meal.rid, record]));
  return [...mealtimes]
    .sort((a, b) => a.values.time.localeCompare(b.values.time) || a.rid.localeCompare(b.rid))
    .map((mealtime): Slot => {
      const fed = byId.get(mealId(day.household, mealtime.rid, day.day)) ?? null;
      const eating = dogsAt(mealtime, dogs);
      const served = new Set(fed?.servings.map((serving) => serving.values.dog));
      const missing = eating.filter((dog) => !served.has(dog)).length;
      const state = served.size === 0 ? 'open' : missing === 0 ? 'fed' : 'partly';
      return { mealtime, dogs: eating, fed, state };
    })
    .filter((slot) => slot.dogs.length > 0 || slot.fed !== null);
}

function minutesOf(time: string): number {
  return Number(time.slice(0, 2)) * 60 + Number(time.slice(3, 5));
}

/** How long a meal stays in front after it is fed, for what is seen when the bowls come back [min]. */
const LINGER_MIN = 90;

/**
 * The meal in front: one just fed while nothing else is due, else the open one nearest to now, else
 * the last of the day.
 *
 * @param now "06:34" on the clock of the household
 * @param fedAt clock time at which a slot was fed
 */
export function frontSlot(
  slots: readonly Slot[],
  now: string,
  fedAt: (slot: Slot) => string | null,
): Slot | null {
  const at = minutesOf(now);
  const open = slots.filter((slot) => slot.state !== 'fed');
  const isDue = open.some(
    (slot) =>
      minutesOf(slot.mealtime.values.time) <= at &&
      slot.state === 'open' &&
      at - minutesOf(slot.mealtime.values.time) < 240,
  );
  const justFed = slots
    .filter((slot) => {
      const fed = fedAt(slot);
      return slot.state === 'fed' && fed !== null && Math.abs(at - minutesOf(fed)) <= LINGER_MIN;
    })
    .at(-1);
  if (justFed && !isDue) return justFed;
  const partly = open.find((slot) => slot.state === 'partly');
  if (partly) return partly;
  const distance = (slot: Slot): number => Math.abs(at - minutesOf(slot.mealtime.values.time));
  return (
    open.reduce<Slot | null>(
      (best, slot) => (best === null || distance(slot) < distance(best) ? slot : best),
      null,
    ) ??
    slots.at(-1) ??
    null
  );
}

export interface Watchable {
  readonly rid: string;
  readonly name: string;
  /** Day of birth; null when unknown. */
  readonly born: string | null;
}

/** Meals looked back on, a dog, to choose whose appetite is asked for. */
const LOOK_BACK = 6;

/**
 * The dog whose appetite is asked for at every meal: the one that ate worst lately, else the oldest.
 *
 * @param recent servings before this meal, oldest first
 */
export function watchedDog(
  dogs: readonly Watchable[],
  recent: readonly Serving[],
): Watchable | null {
  const worry: Readonly<Record<Appetite, number>> = { keen: 0, slow: 1, picked: 2, left_it: 3 };
  const scored = dogs.map((dog) => {
    const last = recent.filter((serving) => serving.dog === dog.rid).slice(-LOOK_BACK);
    return {
      dog,
      score: last.reduce(
        (sum, serving) => sum + (serving.appetite ? worry[serving.appetite] : 0),
        0,
      ),
    };
  });
  const worst = scored.reduce<(typeof scored)[number] | null>(
    (most, each) => (most === null || each.score > most.score ? each : most),
    null,
  );
  if (worst !== null && worst.score > 0) return worst.dog;
  const born = dogs
    .filter((dog) => dog.born !== null)
    .sort((a, b) => (a.born ?? '').localeCompare(b.born ?? ''));
  return born[0] ?? null;
}

/** Eaten share of a serving, 0 to 1; null when nobody noted what was left. */
export function eatenShare(serving: Pick<Serving, 'offered_g' | 'left'>): number | null {
  const { left, offered_g } = serving;
  if (!left) return null;
  if (left.share !== null && left.share !== undefined) return 1 - left.share;
  if (left.g === null || left.g === undefined) return null;
  return offered_g > 0 ? Math.max(0, 1 - left.g / offered_g) : 1;
}

/**
 * What is left of a serving that turns out to be of another amount: a bowl that came back full
 * came back full, and no more is left than there was.
 */
export function leftOf(
  { left, offered_g }: Pick<Serving, 'offered_g' | 'left'>,
  now_g: number,
): Serving['left'] {
  if (left?.g == null || left.g === 0) return left;
  return left.g >= Math.min(offered_g, now_g) ? { g: now_g } : left;
}

/** Words for how much was eaten, and the share of what was offered that they stand for. */
export const eatenSteps = [
  { value: 'all', label: 'All', share: 1 },
  { value: 'most', label: 'Most', share: 0.75 },
  { value: 'half', label: 'Half', share: 0.5 },
  { value: 'none', label: 'None', share: 0 },
] as const;

/** Grams that a word stands for: all and none exactly, the rest as well as anybody can tell. */
export function eatenBy(share: number, offered_g: number): number {
  const exact = offered_g * share;
  return share === 0 || share === 1 || offered_g < 50
    ? Math.round(exact)
    : Math.round(exact / 5) * 5;
}

export type EatenStep = (typeof eatenSteps)[number]['value'];

/** Which word is lit for an eaten mass; null between them. */
export function stepFor(eaten_g: number, offered_g: number): EatenStep | null {
  const step = eatenSteps.find(({ share }) => Math.abs(eaten_g - eatenBy(share, offered_g)) < 0.5);
  return step?.value ?? null;
}
