/**
 * What a batch should be: packs to pull and grams to use, from what is in store. The twin of the
 * server's proposal, which says what the aims are. Everything here works with no network.
 */
import { AIMS, HELD, SLACK, UNIT_G, buildModel, type Aim } from './proposal-matrices.ts';
import {
  foodsOf,
  type Choice,
  type ProposalLot,
  type ProposalProblem,
} from './proposal-problem.ts';
import { energyOf, missedBy, type Missed, type Portions } from './proposal-missed.ts';
import { solveStaged, type Effort } from './proposal-stages.ts';

/** Less than a scale shows. */
const NOTHING_G = 0.05;
/** On a phone: so long that nobody waits, and a tableau or two more where there is no clock. */
export const QUICK: Effort = { nodes: 4000, ms: 200, clock: () => performance.now() };

/** Grams used of one lot. Without a lot (empty) they are to be bought. */
export interface ProposalLine {
  readonly lot: string;
  readonly food: string;
  readonly mass_g: number;
  /** Packs to pull; null where the lot is not in packs. */
  readonly packs: number | null;
  readonly left_g: number;
}

export interface Proposal {
  readonly lines: readonly ProposalLine[];
  readonly mass_g: number;
  readonly energy_kcal: number;
  readonly missed: readonly Missed[];
  readonly aims: Readonly<Record<Aim, number>>;
  /** False when the effort ran out before the best packs were certain. */
  readonly is_proved: boolean;
}

/** The best batch by the aims in order. */
export function propose(problem: ProposalProblem, effort: Effort = QUICK): Proposal {
  const model = buildModel(problem);
  const found = solveStaged(model, effort);
  const lines = model.lots.flatMap((lot, index): ProposalLine[] => {
    const mass_g = (found.used[index] ?? 0) * UNIT_G;
    return mass_g < NOTHING_G ? [] : [lineOf(lot, mass_g)];
  });
  const portions = portionsOf(problem, lines);
  return {
    lines,
    mass_g: lines.reduce((all, line) => all + line.mass_g, 0),
    energy_kcal: energyOf(portions),
    missed: missedBy(problem, portions),
    aims: found.least,
    is_proved: found.is_proved,
  };
}

function lineOf(lot: ProposalLot, mass_g: number): ProposalLine {
  const { key, food, pack_g } = lot;
  if (pack_g == null) return { lot: key, food, mass_g, packs: null, left_g: 0 };
  const packs = Math.ceil((mass_g - NOTHING_G) / pack_g);
  return { lot: key, food, mass_g, packs, left_g: Math.max(0, packs * pack_g - mass_g) };
}

function portionsOf(problem: ProposalProblem, lines: readonly ProposalLine[]): Portions {
  const foods = foodsOf(problem);
  return lines.flatMap(({ food, mass_g }) => {
    const found = foods.get(food);
    return found ? [[found, mass_g] as const] : [];
  });
}

/** The first aim that gets worse with a food in; null when none does. */
export interface Rejected {
  readonly food: string;
  readonly mass_g: number;
  readonly aim: Aim | 'forbidden' | null;
  readonly worse_by: number;
}

/** What a food that was left out would have cost, from solving again with so much of it in. */
export function costOf(
  problem: ProposalProblem,
  proposal: Proposal,
  { food, mass_g, effort = QUICK }: { food: string; mass_g: number; effort?: Effort },
): Rejected {
  if (problem.forbidden?.includes(food)) return { food, mass_g, aim: 'forbidden', worse_by: 0 };
  const others = (problem.choices ?? []).filter((choice) => choice.food !== food);
  const choices: Choice[] = [...others, { food, least_g: mass_g }];
  const after = propose({ ...problem, choices }, effort);
  for (const aim of AIMS) {
    const worse_by = after.aims[aim] - proposal.aims[aim];
    if (worse_by > SLACK[aim] + HELD) return { food, mass_g, aim, worse_by };
    if (worse_by < -SLACK[aim] - HELD) break;
  }
  return { food, mass_g, aim: null, worse_by: 0 };
}

/** Grams of a food that lie in the bowl already, from a lot or not. */
export interface InBowl {
  readonly food: string;
  readonly mass_g: number;
  readonly lot?: string | null;
}

/**
 * Solves a batch again in the middle of the weigh-in, with no network and without asking.
 *
 * What is in the bowl stays in it: `used` counts as at least so much of each food, and comes from
 * no lot any more. `stock` is what is left in store *now*, after what was taken or thrown away, so
 * a pack that smelled wrong is simply not in it. Choices of `draft` still hold, but none asks for
 * less of a food than the bowl holds. The lines of the answer are the whole batch, what is in the
 * bowl first (with the lot "bowl"); what has to be added is every other line.
 *
 * The composition of every food in `used` and `stock` has to be among the draft's ingredients;
 * an unknown one is refused by an InputError that names it.
 */
export function resolve(
  draft: ProposalProblem,
  used: readonly InBowl[],
  stock: readonly ProposalLot[],
  effort: Effort = QUICK,
): Proposal {
  const bowl = new Map<string, number>();
  for (const { food, mass_g } of used) bowl.set(food, (bowl.get(food) ?? 0) + mass_g);
  const inBowl: ProposalLot[] = [...bowl].map(([food, mass_g]) => ({ key: BOWL, food, mass_g }));
  const chosen = (draft.choices ?? []).filter((choice) => !bowl.has(choice.food));
  const kept = [...bowl].map(([food, mass_g]): Choice => {
    const before = (draft.choices ?? []).find((choice) => choice.food === food);
    const most_g = before?.most_g == null ? null : Math.max(before.most_g, mass_g);
    return { food, least_g: Math.max(before?.least_g ?? 0, mass_g), most_g };
  });
  const problem: ProposalProblem = {
    ...draft,
    lots: [...inBowl.map(oldest(stock)), ...stock],
    choices: [...chosen, ...kept],
    // What lies in the bowl is there, whoever may not have it: the judgement says so.
    forbidden: (draft.forbidden ?? []).filter((food) => !bowl.has(food)),
  };
  return propose(problem, effort);
}

/** The lot of what is in the bowl. */
export const BOWL = 'bowl';

/** What is in the bowl is used before anything else: it is as old as the oldest there is. */
function oldest(stock: readonly ProposalLot[]): (lot: ProposalLot) => ProposalLot {
  const ages = stock.flatMap((lot) => lot.age_days ?? []);
  const age_days = ages.length === 0 ? null : Math.max(...ages);
  return (lot) => ({ ...lot, age_days, price_per_kg: 0 });
}
