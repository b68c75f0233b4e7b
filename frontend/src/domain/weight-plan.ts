/**
 * A plan towards the ideal weight, to be agreed with a vet. The twin of the server's.
 *
 * The sources disagree on the ideal weight and on the energy to start with: all are carried.
 */

import { checkRange, constantOf, metabolicMass, restingKcal, type Requirement } from './energy.ts';
import { InputError } from './input-error.ts';
import type { EnergyTables, Sourced } from './tables.ts';

export type Goal = 'lose' | 'gain' | 'hold';
/** Why no figures are given: somebody has to judge first who sees the dog. */
export type WhyNot = '' | 'no score' | 'growing' | 'breeding' | 'old' | 'muscle' | 'thin';
const MUSCLE = ['normal', 'mild', 'moderate', 'marked'] as const;

export interface IdealMass extends Sourced {
  readonly method: 'points' | 'fat';
  readonly mass_kg: number;
  readonly locator: string;
}

export interface StartEnergy extends Sourced {
  readonly method: string;
  readonly energy_kcal: number;
  readonly low_kcal: number;
  readonly high_kcal: number;
  readonly locator: string;
}

export interface WeightPlan {
  readonly goal: Goal;
  readonly why_not: WhyNot;
  readonly ideal: readonly IdealMass[];
  readonly starts: readonly StartEnergy[];
  /** Percent of body weight a week; null where no source gives a rate. */
  readonly rate_low_pct: number | null;
  readonly rate_high_pct: number | null;
  readonly weeks_low: number | null;
  readonly weeks_high: number | null;
}

export interface PlanFacts {
  readonly condition_score: number | null;
  /** The dog's need at its weight now. */
  readonly maintenance_kcal: number;
  /** What it truly eats now; unknown leaves out the start reckoned from it. */
  readonly intake_kcal?: number | null;
  readonly age_band?: Requirement['age_band'];
  readonly is_breeding?: boolean;
  readonly muscle?: string | null;
  readonly is_agreed_with_vet?: boolean;
}

/** The ideal weight by the two published methods, which differ by 3 to 5 %. */
export function idealMasses(
  energy: EnergyTables,
  mass_kg: number,
  condition_score: number,
): readonly [IdealMass, IdealMass] {
  checkRange('mass_kg', mass_kg, 0.05, 150, 'kg');
  checkRange('condition_score', condition_score, 1, 9, 'of 9');
  const value = (key: string) => constantOf(energy, key).value;
  const over = condition_score - value('condition.ideal.highest');
  const { value: points, source, locator, verified } = constantOf(energy, 'condition.per_point');
  const idealFat = value('condition.fat.ideal') / 100;
  const fat = idealFat + (value('condition.fat.per_point') / 100) * over;
  // Both formulas were read, or remembered, for dogs that are too heavy.
  return [
    {
      method: 'points',
      mass_kg: mass_kg / (1 + (points / 100) * over),
      source,
      locator,
      verified: over >= 0 ? verified : 'memory',
    },
    {
      method: 'fat',
      mass_kg: (mass_kg * (1 - fat)) / (1 - idealFat),
      source,
      locator,
      verified: 'memory',
    },
  ];
}

/** The plan that published methods give, or why none is given. */
export function weightPlan(energy: EnergyTables, mass_kg: number, facts: PlanFacts): WeightPlan {
  checkRange('mass_kg', mass_kg, 0.05, 150, 'kg');
  checkRange('maintenance_kcal', facts.maintenance_kcal, 10, 25000, 'kcal/day');
  const muscle = facts.muscle ?? null;
  if (muscle !== null && !MUSCLE.some((each) => each === muscle)) {
    throw new InputError(
      `There is no muscle called “${muscle}”. Use one of: ${MUSCLE.join(', ')}.`,
      ['muscle'],
    );
  }
  const score = facts.condition_score;
  const barred = barredBy(facts);
  if (score === null || barred !== '') return without(barred, [], 'hold');
  const ideal = idealMasses(energy, mass_kg, score);
  const goal = goalOf(energy, score);
  if (goal === 'hold') return without('', ideal, goal);
  const vetFirst = vetFirstBy(score, facts);
  if (vetFirst !== '' && !facts.is_agreed_with_vet) return without(vetFirst, ideal, goal);
  const nothing = without('', ideal, goal);
  if (goal === 'gain') return { ...nothing, starts: [gain(energy, ideal[0].mass_kg)] };
  const slow = constantOf(energy, 'loss.rate.lowest').value;
  const fast = constantOf(energy, 'loss.rate.highest').value;
  const shares = ideal.map((each) => each.mass_kg / mass_kg);
  return {
    ...nothing,
    starts: loss(energy, ideal[0].mass_kg, facts),
    rate_low_pct: slow,
    rate_high_pct: fast,
    weeks_low: weeksTo(Math.max(...shares), fast),
    weeks_high: weeksTo(Math.min(...shares), slow),
  };
}

/** Why the method is not for this dog at all. */
function barredBy({ condition_score, age_band, is_breeding }: PlanFacts): WhyNot {
  if (is_breeding) return 'breeding';
  // Condition scoring is not reliable in puppies: Veterinary Focus 31.3, 2021.
  if (age_band === 'puppy') return 'growing';
  return condition_score === null ? 'no score' : '';
}

/** Why a vet has to look first. */
function vetFirstBy(score: number, { age_band, muscle }: PlanFacts): WhyNot {
  if (age_band === 'senior') return 'old';
  if (muscle === 'moderate' || muscle === 'marked') return 'muscle';
  return score <= 2 ? 'thin' : '';
}

function goalOf(energy: EnergyTables, score: number): Goal {
  if (score > constantOf(energy, 'condition.ideal.highest').value) return 'lose';
  return score < constantOf(energy, 'condition.ideal.lowest').value ? 'gain' : 'hold';
}

function without(why_not: WhyNot, ideal: readonly IdealMass[], goal: Goal): WeightPlan {
  const rates = { rate_low_pct: null, rate_high_pct: null, weeks_low: null, weeks_high: null };
  return { goal, why_not, ideal, starts: [], ...rates };
}

function weeksTo(share: number, rate_pct: number): number {
  return Math.log(share) / Math.log(1 - rate_pct / 100);
}

function loss(energy: EnergyTables, ideal_kg: number, facts: PlanFacts): StartEnergy[] {
  const resting = restingKcal(energy, ideal_kg);
  const shares: readonly [string, string, number | null][] = [
    ['intake', 'loss.start.intake', facts.intake_kcal ?? null],
    ['resting_2014', 'loss.start.resting.2014', resting],
    ['resting_2021', 'loss.start.resting.2021', resting],
    ['maintenance', 'loss.start.maintenance', facts.maintenance_kcal],
  ];
  const starts = shares.flatMap(([method, key, whole]) =>
    whole === null
      ? []
      : [start(energy, method, key, (constantOf(energy, key).value / 100) * whole)],
  );
  const size = metabolicMass(ideal_kg);
  const mean = constantOf(energy, 'loss.start.measured').value * size;
  const spread = constantOf(energy, 'loss.start.measured.spread').value * size;
  return [...starts, start(energy, 'measured', 'loss.start.measured', mean, spread)];
}

function start(
  energy: EnergyTables,
  method: string,
  key: string,
  energy_kcal: number,
  spread_kcal = 0,
): StartEnergy {
  const { source, locator, verified } = constantOf(energy, key);
  return {
    method,
    energy_kcal,
    low_kcal: energy_kcal - spread_kcal,
    high_kcal: energy_kcal + spread_kcal,
    source,
    locator,
    verified,
  };
}

function gain(energy: EnergyTables, ideal_kg: number): StartEnergy {
  const low = constantOf(energy, 'gain.start.lowest').value;
  const high = constantOf(energy, 'gain.start.highest').value;
  const resting = restingKcal(energy, ideal_kg);
  const middle = ((low + high) / 2) * resting;
  return start(energy, 'gain', 'gain.start.lowest', middle, ((high - low) / 2) * resting);
}
