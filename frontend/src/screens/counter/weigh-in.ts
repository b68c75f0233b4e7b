/**
 * The weigh-in as arithmetic: what the plan asks for, what is in the bowl, what to weigh next.
 *
 * Masses are whole grams, because that is what a weigh-in record holds; the display alone is in the
 * unit of the member's scale. Nothing here reads a clock or a store.
 */
import { foodGrams, scaleFigure, scaleMass, type Units } from '../../ui/words';

export interface PlanLine {
  readonly food: string;
  readonly mass_g: number;
}

export interface PutIn {
  readonly rid: string;
  readonly food: string;
  readonly mass_g: number;
  /** ISO instant; only used to order the put-ins. */
  readonly at: string;
}

export interface WeighLine {
  readonly food: string;
  /** Null for a food that was put in without being planned. */
  readonly planned_g: number | null;
  readonly in_bowl_g: number;
  readonly is_done: boolean;
}

export interface Portion {
  readonly food: string;
  readonly mass_g: number;
}

/**
 * How far from the plan still counts as the planned mass: 3 %, never less than 2 g.
 * Common practice, no source: an ordinary kitchen scale steps by 1 to 2 g, and a plan is not
 * known better than a few per cent.
 */
export const TOLERANCE_SHARE = 0.03;
export const TOLERANCE_LEAST_G = 2;

/** The largest mass one weigh-in record may hold, in grams. */
export const MOST_G = 100_000;

/** The mass by which a put-in may miss the plan and still count as planned, in grams. */
export function tolerance_g(planned_g: number): number {
  return Math.max(TOLERANCE_LEAST_G, Math.round(planned_g * TOLERANCE_SHARE));
}

/** The plan with one line per food, in the order the foods first appear. */
export function mergedPlan(plan: readonly PlanLine[]): PlanLine[] {
  const masses = new Map<string, number>();
  for (const line of plan) masses.set(line.food, (masses.get(line.food) ?? 0) + line.mass_g);
  return [...masses].map(([food, mass_g]) => ({ food, mass_g }));
}

/** Every food of the batch: the planned ones first, then those put in without a plan. */
export function weighLines(plan: readonly PlanLine[], putIns: readonly PutIn[]): WeighLine[] {
  const inBowl = new Map<string, number>();
  for (const putIn of putIns) {
    inBowl.set(putIn.food, (inBowl.get(putIn.food) ?? 0) + putIn.mass_g);
  }
  const planned = mergedPlan(plan);
  const plannedFoods = new Set(planned.map((line) => line.food));
  const extras = [...inBowl.keys()].filter((food) => !plannedFoods.has(food));
  return [
    ...planned.map(({ food, mass_g }) => {
      const in_bowl_g = inBowl.get(food) ?? 0;
      const is_done = in_bowl_g >= mass_g - tolerance_g(mass_g);
      return { food, planned_g: mass_g, in_bowl_g, is_done };
    }),
    ...extras.map((food) => ({
      food,
      planned_g: null,
      in_bowl_g: inBowl.get(food) ?? 0,
      is_done: true,
    })),
  ];
}

/** Grams in the bowl. */
export function bowl_g(putIns: readonly PutIn[]): number {
  return putIns.reduce((sum, putIn) => sum + putIn.mass_g, 0);
}

/** Grams the plan comes to, or null when there is no plan. */
export function planned_g(plan: readonly PlanLine[]): number | null {
  return plan.length === 0 ? null : plan.reduce((sum, line) => sum + line.mass_g, 0);
}

/** The next food to weigh: the first that is not done and not skipped. Null when none is left. */
export function nextFood(lines: readonly WeighLine[], skipped: ReadonlySet<string>): string | null {
  return lines.find((line) => !line.is_done && !skipped.has(line.food))?.food ?? null;
}

/** Whether the batch can be finished: all is weighed, and no food that was chosen waits to go in. */
export function isAllIn(
  lines: readonly WeighLine[],
  skipped: ReadonlySet<string>,
  { food, digits }: { readonly food: string | null; readonly digits: string },
): boolean {
  const inHand = lines.find((line) => line.food === food);
  const isWaiting = digits !== '' || (food !== null && !((inHand?.in_bowl_g ?? 0) > 0));
  const isAnyIn = lines.some(({ in_bowl_g }) => in_bowl_g > 0);
  return isAnyIn && !isWaiting && nextFood(lines, skipped) === null;
}

/** The put-in made last, for undo. */
export function lastPutIn(putIns: readonly PutIn[]): PutIn | null {
  return putIns.reduce<PutIn | null>(
    (last, putIn) => (last === null || putIn.at >= last.at ? putIn : last),
    null,
  );
}

/**
 * What the batch would be made of: what is in the bowl, the reading on the scale, and the rest of
 * the plan as planned. A food that was skipped counts with what is in the bowl only.
 */
export function batchIfFinished(
  lines: readonly WeighLine[],
  options: {
    readonly food: string | null;
    readonly reading_g: number;
    readonly skipped: ReadonlySet<string>;
  },
): Portion[] {
  const portions = lines.map((line) => {
    const isCurrent = line.food === options.food;
    const weighed = line.in_bowl_g + (isCurrent ? options.reading_g : 0);
    const isBeingWeighed = isCurrent && options.reading_g > 0;
    const isSettled = line.is_done || isBeingWeighed || options.skipped.has(line.food);
    return {
      food: line.food,
      mass_g: isSettled ? weighed : Math.max(weighed, line.planned_g ?? 0),
    };
  });
  const isExtra = options.food !== null && !lines.some((line) => line.food === options.food);
  if (isExtra && options.food !== null) {
    portions.push({ food: options.food, mass_g: options.reading_g });
  }
  return portions.filter((portion) => portion.mass_g > 0);
}

/** What a mixed batch is made of: what was weighed in, and nothing that was only planned. */
export function wentIn(lines: readonly WeighLine[]): Portion[] {
  return lines
    .filter((line) => line.in_bowl_g > 0)
    .map(({ food, in_bowl_g }) => ({ food, mass_g: in_bowl_g }));
}

/** How a reading stands to what is still to go. */
export type Standing =
  | { readonly word: 'unplanned' }
  | { readonly word: 'to_go'; readonly mass_g: number }
  | { readonly word: 'enough' }
  | { readonly word: 'too_much'; readonly mass_g: number };

/** Says whether a reading leaves something to go, is enough, or is too much, and by how much. */
export function standing(line: WeighLine | undefined, reading_g: number): Standing {
  if (line?.planned_g == null) return { word: 'unplanned' };
  const missing_g = line.planned_g - line.in_bowl_g - reading_g;
  const allowed_g = tolerance_g(line.planned_g);
  if (missing_g > allowed_g) return { word: 'to_go', mass_g: missing_g };
  if (missing_g < -allowed_g) return { word: 'too_much', mass_g: -missing_g };
  return { word: 'enough' };
}

/** The number on the display, in whole grams; an empty display reads 0. */
export function reading_g(digits: string, units: Units): number {
  return digits === '' ? 0 : foodGrams(Number(digits), units);
}

/** Whether a display still fits into one record. */
export function fits(digits: string, units: Units): boolean {
  return reading_g(digits, units) <= MOST_G;
}

/** What was put in, when the display is the total a scale shows that was not zeroed in between. */
export type ScaleReading =
  | { readonly word: 'put_in'; readonly mass_g: number }
  | { readonly word: 'nothing_new' }
  | { readonly word: 'below'; readonly expected_g: number };

/**
 * The difference between the total shown and what the scale already held.
 *
 * @param shown_g the total on the display [g]
 * @param held_g what the scale showed after the last put-in [g]
 */
export function scaleDifference(shown_g: number, held_g: number): ScaleReading {
  if (shown_g === held_g) return { word: 'nothing_new' };
  if (shown_g < held_g) return { word: 'below', expected_g: held_g };
  return { word: 'put_in', mass_g: shown_g - held_g };
}

/** A beam whose end is the whole, with a tick at a round amount: about eight of them. */
export function beamEnd(whole: number): { readonly end: number; readonly step: number } {
  const end = Math.max(1, whole);
  const power = 10 ** Math.floor(Math.log10(end / 8));
  const factor = [1, 2, 5, 10].find((each) => each * power >= end / 10) ?? 10;
  return { end, step: factor * power };
}

/** What a display would put in, and why it cannot. */
export interface ScaleSays {
  readonly putIn_g: number;
  readonly refusal: string | null;
}

/**
 * Reads the display.
 *
 * @param held_g what the scale showed after the last put-in [g], where it shows the total; null
 *   where it is set to zero for each food
 */
export function scaleSays(digits: string, held_g: number | null, units: Units): ScaleSays {
  const shown_g = reading_g(digits, units);
  if (held_g === null || digits === '') {
    return { putIn_g: held_g === null ? shown_g : 0, refusal: null };
  }
  // A tenth of an ounce is more than a gram: what the scale shows the same is the same.
  const isSame = scaleFigure(shown_g, units) === scaleFigure(held_g, units);
  const read = scaleDifference(isSame ? held_g : shown_g, held_g);
  if (read.word === 'put_in') return { putIn_g: read.mass_g, refusal: null };
  const refusal =
    read.word === 'nothing_new'
      ? 'Nothing new on the scale'
      : `The scale held ${scaleMass(read.expected_g, units)}. Less than that means it was set to zero: say so under All foods.`;
  return { putIn_g: 0, refusal };
}

/** Where in the batch: "food 3 of 6", "all 6 foods", "without a plan". */
export function stepWords(
  lines: readonly WeighLine[],
  food: string | null,
  hasPlan: boolean,
): string {
  if (!hasPlan) return 'without a plan';
  if (food === null) return `all ${lines.length} foods`;
  const index = lines.findIndex((line) => line.food === food);
  return index < 0 ? 'besides the plan' : `food ${index + 1} of ${lines.length}`;
}

/** Grams of each planned food that are not in the bowl yet: what can still be held back. */
export function toGo_g(lines: readonly WeighLine[]): Map<string, number> {
  return new Map(
    lines
      .filter((line) => !line.is_done)
      .map((line) => [line.food, Math.max(0, (line.planned_g ?? 0) - line.in_bowl_g)]),
  );
}
