/**
 * The smallest additions that mend what a batch misses: first the least shortfall with nothing put
 * over, then the fewest grams. The twin of the server's proposal_mend, which says why by mass.
 */
import { InputError } from './input-error.ts';
import { Builder, SHARE_SLACK, UNIT_G } from './proposal-matrices.ts';
import { missedBy, type Missed } from './proposal-missed.ts';
import {
  atMost,
  foodsOf,
  type ProposalFood,
  type ProposalLot,
  type ProposalProblem,
  type Wanted,
} from './proposal-problem.ts';
import { Simplex } from './proposal-simplex.ts';

// Choices of this project, as its Python twin has them.
/** Of the batch's mass, all additions together: beyond it, it is another recipe. */
export const MOST_SHARE = 0.2;
/** A gram to buy is as much trouble as three grams that are there. */
const BOUGHT_COUNTS = 3;
/** Of a need: what a gram may hold at most, since scales show grams. */
const WEIGHABLE_SHARE = 0.5;
/** Of each highest limit: left free for rounding to what a scale shows. */
const ROOM_SHARE = 0.05;
const NOTHING_G = 1e-3;

/** A food that may be added: so much of it in store, or to buy (none). */
export interface Offer {
  readonly food: string;
  readonly stored_g?: number | null;
}

export interface Addition {
  readonly food: string;
  readonly mass_g: number;
  readonly is_bought: boolean;
}

/** What to add, and what is missed even so; energy is no part of it. */
export interface Additions {
  readonly additions: readonly Addition[];
  readonly missed: readonly Missed[];
  /** What stays missing in thousandths of what is wanted. */
  readonly short: number;
  /** The grams added, those to buy counted three times. */
  readonly counted_g: number;
}

/** Grams by food. */
export type Batch = Readonly<Record<string, number>>;

/** Whether a gram more or less of a food does not matter much to the batch. */
export function isWeighable(problem: ProposalProblem, food: ProposalFood): boolean {
  return (problem.wanted ?? []).every(
    ({ nutrient, minimum }) =>
      !minimum ||
      atMost(food, [nutrient]) / 100 <= (WEIGHABLE_SHARE * minimum * problem.energy_kcal) / 1000,
  );
}

/** The smallest additions to a batch that mend what it misses. */
export function smallestAdditions(
  problem: ProposalProblem,
  batch: Batch,
  offers: readonly Offer[],
): Additions {
  const foods = foodsOf(problem);
  check(foods, batch, offers);
  const standing = new Map(Object.entries(batch).filter(([, mass_g]) => mass_g > 0));
  if (standing.size === 0) return { additions: [], missed: [], short: 0, counted_g: 0 };
  const bounded = new Set(
    (problem.choices ?? []).flatMap(({ food, most_g }) => (most_g == null ? [] : [food])),
  );
  const usable = offers.filter(({ food }) => {
    const found = foods.get(food);
    if (!found || problem.forbidden?.includes(food) || bounded.has(food)) return false;
    return standing.has(food) || isWeighable(problem, found);
  });
  const { grams, ...least } = solved(problem, standing, usable);
  const additions = usable.flatMap(({ food, stored_g }, index): Addition[] => {
    const mass_g = grams[index] ?? 0;
    return mass_g > NOTHING_G ? [{ food, mass_g, is_bought: stored_g == null }] : [];
  });
  const portions = [...standing, ...additions.map((each) => [each.food, each.mass_g] as const)];
  const missed = missedBy(
    problem,
    portions.flatMap(([food, mass_g]) => {
      const found = foods.get(food);
      return found ? [[found, mass_g] as const] : [];
    }),
  ).filter(({ key }) => key !== 'energy');
  return { additions, missed, ...least };
}

function check(
  foods: ReadonlyMap<string, ProposalFood>,
  batch: Batch,
  offers: readonly Offer[],
): void {
  const masses = [...Object.entries(batch), ...offers.map((each) => [each.food, each.stored_g ?? 0] as const)]; // prettier-ignore
  for (const [food, mass_g] of masses) {
    if (foods.has(food) && mass_g >= 0) continue;
    throw new InputError(
      `${food}: ${mass_g} g was given; the food must be known and the mass zero or more. Weigh it again.`,
      ['batch', 'offers'],
    );
  }
}

interface Solved {
  readonly grams: readonly number[];
  readonly short: number;
  readonly counted_g: number;
}

function solved(
  problem: ProposalProblem,
  batch: ReadonlyMap<string, number>,
  offers: readonly Offer[],
): Solved {
  const most_g = MOST_SHARE * [...batch.values()].reduce((all, mass_g) => all + mass_g, 0);
  const lots: ProposalLot[] = [
    ...[...batch].map(([food, mass_g]) => ({ key: 'batch', food, mass_g })),
    ...offers.map(({ food, stored_g }) => ({
      key: '',
      food,
      mass_g: Math.min(stored_g ?? most_g, most_g),
    })),
  ];
  const wanted = problem.wanted?.map(withRoom) ?? [];
  const builder = new Builder({ ...problem, lots, wanted, choices: [], forbidden: [] });
  builder.maxima();
  builder.practice();
  const over = [...builder.misses.over, ...builder.misses.practice];
  builder.minima();
  builder.ratios();
  const { rows } = builder;
  hold(builder, batch.size, over);
  const added = offers.map((_, index) => batch.size + index);
  rows.row(added.map((column) => [column, 1]), -Infinity, most_g / UNIT_G); // prettier-ignore
  const short = rows.row(builder.misses.short.map((column) => [column, 1]), -Infinity, Infinity); // prettier-ignore
  const counts = added.map((column, index): [number, number] => [
    column,
    UNIT_G * (offers[index]?.stored_g == null ? BOUGHT_COUNTS : 1),
  ]);
  const mass = rows.row(counts, -Infinity, Infinity);
  const simplex = new Simplex();
  simplex.grow(rows.snapshot());
  simplex.minimise(short);
  const least = simplex.row(short);
  simplex.boundRow(short, -Infinity, least + SHARE_SLACK);
  simplex.minimise(mass);
  return {
    grams: added.map((column) => simplex.column(column) * UNIT_G),
    short: least,
    counted_g: simplex.row(mass),
  };
}

function withRoom(wanted: Wanted): Wanted {
  if (wanted.maximum == null) return wanted;
  const maximum = wanted.maximum * (1 - ROOM_SHARE);
  return maximum < (wanted.minimum ?? 0) * (1 + ROOM_SHARE) ? wanted : { ...wanted, maximum };
}

/** The batch stays as it is, and nothing may go further over than it is. */
function hold({ rows }: Builder, standing: number, over: readonly number[]): void {
  for (let column = 0; column < standing; column++) rows.low[column] = rows.high[column] ?? 0;
  for (const column of over) {
    const row = rows.rows.find((entries) => entries.some(([each]) => each === column)) ?? [];
    const now = row
      .filter(([each]) => each < standing)
      .reduce((sum, [each, factor]) => sum + factor * (rows.high[each] ?? 0), 0);
    rows.high[column] = Math.max(0, now);
  }
}
