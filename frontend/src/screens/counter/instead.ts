/** What goes in instead of a food that was not good: the batch solved again from what is left. */
import type { Proposal } from '../../domain/proposal';
import type { Choice } from '../../domain/proposal-problem';
import type { Kitchen } from '../plan/judged';
import { linesOf, problemOf, type Proposing } from '../plan/proposing';
import { missedWords } from '../plan/proposal-words';
import type { ResolveAsk } from '../plan/solver-work';
import { inStore_g, isInFreezer, type Shelves } from '../stores/larder';
import { tolerance_g, type PlanLine, type WeighLine } from './weigh-in';

/** One food whose grams differ from the plan. */
export interface Change {
  readonly food: string;
  readonly before_g: number;
  readonly mass_g: number;
  /** It lies in the freezer still. */
  readonly isFrozen: boolean;
}

export interface Instead {
  readonly lines: readonly PlanLine[];
  readonly changes: readonly Change[];
  /** What the stock cannot give, in words. */
  readonly missed: readonly string[];
}

/** Grams of the food that are still to go in and no longer in store; 0: another pack will do. */
export function lacking_g(line: WeighLine | undefined, store_g: number): number {
  if (line?.planned_g == null) return 0;
  const toGo_g = line.planned_g - line.in_bowl_g;
  return toGo_g - store_g > tolerance_g(line.planned_g) ? toGo_g - store_g : 0;
}

/**
 * The foods that are good stay as planned at least, because they lie thawed on the counter; of the
 * one that is not, there is what is in the bowl and what is left in store. What somebody left out
 * stays out.
 */
export function choicesFor(
  lines: readonly WeighLine[],
  bad: string,
  { left_g, skipped }: { readonly left_g: number; readonly skipped: ReadonlySet<string> },
): readonly Choice[] {
  return lines.map(({ food, planned_g, in_bowl_g }) => {
    if (food === bad) return { food, least_g: in_bowl_g, most_g: in_bowl_g + left_g };
    if (skipped.has(food)) return { food, least_g: in_bowl_g, most_g: in_bowl_g };
    return { food, least_g: Math.max(planned_g ?? 0, in_bowl_g) };
  });
}

/** The weigh-in as it stands, and the food that was not good. */
export interface Rest {
  readonly lines: readonly WeighLine[];
  readonly bad: string;
  /** Foods that were left out at this counter. */
  readonly skipped: ReadonlySet<string>;
}

/**
 * What is asked of the solver: the batch again, from what is in the bowl and in store and was not
 * promised to another one. Null while it cannot be: a dog's need or the tables are not known.
 */
export function insteadAskOf(
  given: Omit<Proposing, 'choices'>,
  { lines, bad, skipped }: Rest,
): Omit<ResolveAsk, 'what'> | null {
  const left_g = inStore_g(given.larder).get(bad) ?? 0;
  const problem = problemOf({ ...given, choices: choicesFor(lines, bad, { left_g, skipped }) });
  const energy_kcal = plannedEnergy_kcal(given.kitchen, lines);
  if (problem === null || energy_kcal <= 0) return null;
  const used = lines
    .filter(({ food, in_bowl_g }) => in_bowl_g > 0 && given.kitchen.food(food) !== null)
    .map(({ food, in_bowl_g }) => ({ food, mass_g: in_bowl_g }));
  return { draft: { ...problem, energy_kcal }, used, stock: problem.lots };
}

/** The answer of the solver beside the plan. */
export function insteadOf(proposal: Proposal, larder: Shelves, { lines, bad }: Rest): Instead {
  const solved = new Map(linesOf(proposal).map(({ food, mass_g }) => [food, mass_g]));
  const frozen = new Set(
    proposal.lines.flatMap(({ lot, food, packs }) => {
      const known = larder.lots.find(({ rec }) => rec.rid === lot);
      return packs !== null && (known === undefined || isInFreezer(known)) ? [food] : [];
    }),
  );
  return { ...changed(lines, bad, solved, frozen), missed: missedWords(proposal.missed) };
}

/** The batch is to stay as large as it was planned, also where it is not all that the dogs eat. */
function plannedEnergy_kcal(kitchen: Kitchen, lines: readonly WeighLine[]): number {
  return lines.reduce((sum, { food, planned_g, in_bowl_g }) => {
    const per_100g = kitchen.food(food)?.energy_kcal_per_100g ?? 0;
    return sum + (Math.max(planned_g ?? 0, in_bowl_g) * per_100g) / 100;
  }, 0);
}

/** The new plan beside the old one; what a scale would not tell apart stays as it was. */
function changed(
  lines: readonly WeighLine[],
  bad: string,
  solved: ReadonlyMap<string, number>,
  frozen: ReadonlySet<string>,
): Pick<Instead, 'lines' | 'changes'> {
  const planned = new Map(lines.map(({ food, planned_g }) => [food, planned_g ?? 0]));
  const inBowl = new Map(lines.map(({ food, in_bowl_g }) => [food, in_bowl_g]));
  const foods = [...new Set([...planned.keys(), ...solved.keys()])];
  const changes: Change[] = [];
  const after = foods.flatMap((food): PlanLine[] => {
    const before_g = planned.get(food) ?? 0;
    const asked_g = food === bad ? (solved.get(food) ?? 0) : (solved.get(food) ?? before_g);
    const isSame = before_g > 0 && Math.abs(asked_g - before_g) <= tolerance_g(before_g);
    const mass_g = isSame ? before_g : Math.max(asked_g, inBowl.get(food) ?? 0);
    // More in the bowl than planned is no change that anybody has to make.
    const isDone = mass_g > 0 && mass_g === inBowl.get(food);
    if (mass_g !== before_g && !isDone)
      changes.push({ food, before_g, mass_g, isFrozen: frozen.has(food) });
    return mass_g > 0 ? [{ food, mass_g }] : [];
  });
  return { lines: after, changes };
}
