/** A batch on paper: how much the dogs need, how much the plan gives, and making the two agree. */

export interface PlanLine {
  readonly food: string;
  readonly mass_g: number;
}

/** One record may hold so many grams of one food. */
export const MOST_LINE_G = 100_000;

export interface Need {
  readonly dog: string;
  /** Null when the dog's requirement cannot be worked out, for want of a weight or an age. */
  readonly energy_kcal_per_day: number | null;
}

/** Energy for all the dogs over the days, and who is missing from it. */
export interface NeedOfAll {
  readonly energy_kcal: number | null;
  readonly unknown: readonly string[];
}

/** What all dogs need together; null when one of them is unknown, since a sum would mislead. */
export function needOfAll(needs: readonly Need[], days: number): NeedOfAll {
  const unknown = needs.filter((need) => need.energy_kcal_per_day === null).map((need) => need.dog);
  if (needs.length === 0 || unknown.length > 0) return { energy_kcal: null, unknown };
  const perDay = needs.reduce((sum, need) => sum + (need.energy_kcal_per_day ?? 0), 0);
  return { energy_kcal: perDay * days, unknown };
}

/** Rounded to what is handy to weigh: 1 g below 50 g, 5 g below 500 g, 10 g above. */
export function handy_g(mass_g: number): number {
  const step = mass_g < 50 ? 1 : mass_g < 500 ? 5 : 10;
  return Math.min(MOST_LINE_G, Math.max(1, Math.round(mass_g / step) * step));
}

/** The plan with every mass scaled alike, so that its energy comes to what is needed. */
export function madeToFit(
  lines: readonly PlanLine[],
  energy: { readonly planned_kcal: number; readonly needed_kcal: number },
): PlanLine[] {
  if (energy.planned_kcal <= 0 || energy.needed_kcal <= 0) return [...lines];
  const factor = energy.needed_kcal / energy.planned_kcal;
  return lines.map((line) => ({ food: line.food, mass_g: handy_g(line.mass_g * factor) }));
}

/** Whether the plan is close enough to the need that fitting it would change nothing to weigh. */
export function isFit(lines: readonly PlanLine[], fitted: readonly PlanLine[]): boolean {
  return lines.every((line, index) => {
    const other = fitted[index]?.mass_g ?? 0;
    return Math.abs(line.mass_g - other) <= Math.max(10, line.mass_g * 0.01);
  });
}

/** The plan with one food's mass changed; a mass of 0 takes the food out. */
export function withMass(lines: readonly PlanLine[], food: string, mass_g: number): PlanLine[] {
  const rounded = Math.min(MOST_LINE_G, Math.round(mass_g));
  if (rounded <= 0) return lines.filter((line) => line.food !== food);
  if (!lines.some((line) => line.food === food)) return [...lines, { food, mass_g: rounded }];
  return lines.map((line) => (line.food === food ? { food, mass_g: rounded } : line));
}

/** Grams of the plan that stand for a mass of energy, at the plan's own density. */
export function massFor_g(
  energy_kcal: number,
  plan: { readonly mass_g: number; readonly energy_kcal: number },
): number | null {
  return plan.energy_kcal > 0 ? (energy_kcal * plan.mass_g) / plan.energy_kcal : null;
}

/** How the plan stands to the need: grams to spare, grams short, or unknown. */
export type Balance =
  | { readonly word: 'unknown' }
  | { readonly word: 'spare'; readonly mass_g: number }
  | { readonly word: 'short'; readonly mass_g: number }
  | { readonly word: 'right' };

/** Compares what is planned with what is needed, in grams of the batch as it is. */
export function balance(
  plan: { readonly mass_g: number; readonly energy_kcal: number },
  needed_kcal: number | null,
): Balance {
  if (needed_kcal === null) return { word: 'unknown' };
  const needed_g = massFor_g(needed_kcal, plan);
  if (needed_g === null) return { word: 'unknown' };
  const difference_g = Math.round(plan.mass_g - needed_g);
  if (Math.abs(difference_g) <= Math.max(10, needed_g * 0.01)) return { word: 'right' };
  return difference_g > 0
    ? { word: 'spare', mass_g: difference_g }
    : { word: 'short', mass_g: -difference_g };
}

/** One more than the highest number given so far; the first batch is 1. */
export function nextNumber(numbers: readonly (number | null | undefined)[]): number {
  return numbers.reduce<number>((most, number) => Math.max(most, number ?? 0), 0) + 1;
}
