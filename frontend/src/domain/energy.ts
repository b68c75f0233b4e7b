/** How much energy a dog needs in a day. The twin of the server's energy, same vectors. */

import { InputError } from './input-error.ts';
import { DAYS_PER_YEAR, energyMethods } from './energy-methods.ts';
import type { Activity, AgeBand, EnergyTables, Stage } from './tables.ts';

const DAYS_PER_MONTH = DAYS_PER_YEAR / 12;
const DAYS_PER_WEEK = 7;
const KCAL_PER_MJ = 1000 / 4.184;

export interface Alternative {
  readonly method: string;
  readonly energy_kcal: number;
  readonly source: string;
}

export interface Requirement {
  readonly energy_kcal: number;
  readonly low_kcal: number;
  readonly high_kcal: number;
  readonly resting_kcal: number;
  readonly metabolic_mass_kg075: number;
  readonly stage: Stage;
  readonly age_band: AgeBand | 'puppy';
  readonly method: string;
  readonly source: string;
  readonly verified: 'read' | 'memory' | 'computed';
  readonly coefficient_kcal_per_kg075: number | null;
  /** What other published methods say, shown beside the one in use. */
  readonly alternatives: readonly Alternative[];
  /** Where a bitch stands between mating and weaning. */
  readonly phase: Phase | null;
}

export const PHASES = ['gestation_early', 'gestation_late', 'lactation'] as const;
export type Phase = (typeof PHASES)[number];

export interface DogFacts {
  readonly mass_kg: number;
  /** Unknown counts as adult. */
  readonly age_days?: number | null;
  readonly adult_mass_kg?: number | null;
  readonly neutered?: boolean | null;
  /** Unknown counts as moderate. */
  readonly activity?: string | null;
  /** A vet's own figure overrides every equation. */
  readonly vet_kcal_per_day?: number | null;
  readonly phase?: Phase | null;
  /** Week of suckling; weeks after the fourth count as the fourth. */
  readonly week?: number | null;
  /** Pups that suckle; unknown takes the middle of a published range. */
  readonly pups?: number | null;
}

/** Refuse a figure that is not finite or lies outside its range. */
export function checkRange(name: string, value: number, least: number, most: number, unit: string) {
  if (!(value >= least && value <= most)) {
    throw new InputError(
      `${name} is ${value} ${unit}; it must be between ${least} and ${most} ${unit}. ` +
        'Check the figure and its unit.',
      [name],
    );
  }
}

/** Body weight to the power 0.75. */
export function metabolicMass(mass_kg: number): number {
  checkRange('mass_kg', mass_kg, 0.05, 150, 'kg');
  return mass_kg ** 0.75;
}

/** Resting requirement in kcal a day. */
export function restingKcal(energy: EnergyTables, mass_kg: number): number {
  return energy.resting.coefficient * metabolicMass(mass_kg);
}

function grownShare(mass_kg: number, adult_mass_kg: number): number {
  checkRange('mass_kg', mass_kg, 0.05, 150, 'kg');
  checkRange('adult_mass_kg', adult_mass_kg, 0.3, 150, 'kg');
  return Math.min(1, mass_kg / adult_mass_kg);
}

/** A growing dog's requirement by NRC 2006, in kcal a day. */
export function growthNrcKcal(energy: EnergyTables, mass_kg: number, adult_kg: number): number {
  const { maintenance, factor } = energy.growth.nrc;
  const rise = growthRise(energy, grownShare(mass_kg, adult_kg));
  return maintenance * factor * rise * metabolicMass(mass_kg);
}

/** How a growing dog's energy per kg^0.75 falls as it grows, by NRC 2006. */
export function growthRise(energy: EnergyTables, grown_share: number): number {
  const { rate, offset } = energy.growth.nrc;
  return Math.exp(-rate * Math.min(1, grown_share)) - offset;
}

/** A growing pet dog's intake by Klein 2019, in kcal a day. */
export function growthKleinKcal(energy: EnergyTables, mass_kg: number, adult_kg: number): number {
  const { constant_mj, slope_mj } = energy.growth.klein;
  const perKg075 = (constant_mj - slope_mj * grownShare(mass_kg, adult_kg)) * KCAL_PER_MJ;
  return perKg075 * metabolicMass(mass_kg);
}

/** The age in days at which growth is taken to end; an unknown adult weight counts as medium. */
export function growthEndDays(energy: EnergyTables, adult_mass_kg: number | null): number {
  const { end_months, size_kg } = energy.growth;
  if (adult_mass_kg === null) return end_months.medium * DAYS_PER_MONTH;
  checkRange('adult_mass_kg', adult_mass_kg, 0.3, 150, 'kg');
  const sizes = ['small', 'medium', 'large'] as const;
  const size = sizes.find((each) => adult_mass_kg <= size_kg[each]) ?? 'giant';
  return end_months[size] * DAYS_PER_MONTH;
}

export function ageBand(
  energy: EnergyTables,
  age_days: number | null,
  adult_mass_kg: number | null = null,
): AgeBand | 'puppy' {
  if (age_days === null) return 'adult';
  checkRange('age_days', age_days, 0, 40 * DAYS_PER_YEAR, 'days');
  if (age_days < growthEndDays(energy, adult_mass_kg)) return 'puppy';
  if (age_days < energy.adult.from_years * DAYS_PER_YEAR) return 'young';
  return age_days > energy.senior.from_years * DAYS_PER_YEAR ? 'senior' : 'adult';
}

/** The stage that chooses the nutrient standard. */
export function lifeStage(
  energy: EnergyTables,
  age_days: number | null,
  adult_mass_kg: number | null = null,
): Stage {
  if (age_days === null || ageBand(energy, age_days, adult_mass_kg) !== 'puppy') return 'adult';
  return age_days < energy.growth.late_from_weeks * DAYS_PER_WEEK ? 'growth_early' : 'growth_late';
}

function isActivity(energy: EnergyTables, word: string): word is Activity {
  return energy.activities.some((each) => each.key === word);
}

/** The energy a dog needs in a day, with its method, source and range. */
export function requirement(energy: EnergyTables, dog: DogFacts): Requirement {
  const activity = dog.activity ?? 'moderate';
  if (!isActivity(energy, activity)) {
    const known = energy.activities.map((each) => each.key).join(', ');
    throw new InputError(`There is no activity called “${activity}”. Use one of: ${known}.`, [
      'activity',
    ]);
  }
  const phase = dog.phase ?? null;
  if (phase !== null && !PHASES.includes(phase)) {
    throw new InputError(`There is no phase called “${phase}”. Use one of: ${PHASES.join(', ')}.`, [
      'phase',
    ]);
  }
  const found = phase === null ? ordinary(energy, dog, activity) : breeding(energy, dog, phase);
  const vet = dog.vet_kcal_per_day ?? null;
  if (vet === null) return found;
  checkRange('vet_kcal_per_day', vet, 20, 15000, 'kcal/day');
  return byVet(found, vet);
}

function ordinary(energy: EnergyTables, dog: DogFacts, activity: Activity): Requirement {
  const age_days = dog.age_days ?? null;
  const adult_kg = dog.adult_mass_kg ?? null;
  const band = ageBand(energy, age_days, adult_kg);
  return band === 'puppy'
    ? growing(energy, dog.mass_kg, age_days ?? 0, adult_kg)
    : maintaining(energy, dog.mass_kg, band, dog.neutered ?? null, activity);
}

/** The constant of a key that the tables hold. */
export function constantOf(energy: EnergyTables, key: string) {
  const found = energy.constants[key];
  if (!found) throw new InputError(`The tables have no constant “${key}”.`, [key]);
  return found;
}

/** A bitch in whelp, in kcal a day: 26 kcal a kg more in the last five weeks. */
export function gestationKcal(energy: EnergyTables, mass_kg: number, isLast: boolean): number {
  const base = constantOf(energy, 'gestation.maintenance').value * metabolicMass(mass_kg);
  return base + (isLast ? constantOf(energy, 'gestation.late').value * mass_kg : 0);
}

/** A suckling bitch, in kcal a day; more than eight pups count as eight. */
export function lactationKcal(
  energy: EnergyTables,
  mass_kg: number,
  { pups, week }: { readonly pups: number; readonly week: number },
): number {
  checkRange('pups', pups, 1, 20, 'pups');
  checkRange('week', week, 1, 4, 'weeks');
  const value = (key: string) => constantOf(energy, key).value;
  const [first, further] = [Math.min(pups, 4), Math.max(0, Math.min(pups, 8) - 4)];
  const milk = value('lactation.first') * first + value('lactation.further') * further;
  const base = value('lactation.maintenance') * metabolicMass(mass_kg);
  return base + mass_kg * milk * value(`lactation.week.${week}`);
}

function breedingKcal(energy: EnergyTables, dog: DogFacts, phase: Phase): [string, string, number] {
  if (phase !== 'lactation') {
    const kcal = gestationKcal(energy, dog.mass_kg, phase === 'gestation_late');
    return ['gestation', 'gestation.maintenance', kcal];
  }
  const pups = dog.pups ?? null;
  if (pups === null) {
    const factor = constantOf(energy, 'lactation.unknown').value;
    return ['lactation_factor', 'lactation.unknown', factor * restingKcal(energy, dog.mass_kg)];
  }
  const week = Math.min(dog.week ?? 1, 4);
  const kcal = lactationKcal(energy, dog.mass_kg, { pups: Math.max(1, pups), week });
  return ['lactation', 'lactation.maintenance', kcal];
}

/** The need by NRC 2006, in the range of everything published for the phase. */
function breeding(energy: EnergyTables, dog: DogFacts, phase: Phase): Requirement {
  const { mass_kg } = dog;
  const [method, constant, energy_kcal] = breedingKcal(energy, dog, phase);
  const { week, pups } = { week: dog.week ?? 1, pups: dog.pups ?? null };
  const said = energyMethods(energy, { mass_kg, phase, week, pups });
  const figures = said
    .flatMap((each) => [each.low_kcal, each.energy_kcal, each.high_kcal])
    .filter((kcal) => kcal !== null);
  const used = constantOf(energy, constant);
  const size = metabolicMass(mass_kg);
  return {
    energy_kcal,
    low_kcal: Math.min(...figures),
    high_kcal: Math.max(...figures),
    resting_kcal: restingKcal(energy, mass_kg),
    metabolic_mass_kg075: size,
    stage: phase === 'gestation_early' ? 'adult' : 'reproduction',
    age_band: ageBand(energy, dog.age_days ?? null, dog.adult_mass_kg ?? null),
    method,
    source: used.source,
    verified: used.verified,
    coefficient_kcal_per_kg075: energy_kcal / size,
    alternatives: said.flatMap(({ key, energy_kcal: kcal, source }) =>
      kcal === null || key.startsWith('nrc_') ? [] : [{ method: key, energy_kcal: kcal, source }],
    ),
    phase,
  };
}

function byVet(found: Requirement, vet_kcal: number): Requirement {
  const { method, energy_kcal, source } = found;
  return {
    ...found,
    energy_kcal: vet_kcal,
    low_kcal: vet_kcal,
    high_kcal: vet_kcal,
    method: 'vet',
    source: 'vet',
    verified: 'read',
    coefficient_kcal_per_kg075: vet_kcal / found.metabolic_mass_kg075,
    alternatives: [{ method, energy_kcal, source }, ...found.alternatives],
  };
}

function activityRow(energy: EnergyTables, activity: Activity) {
  const row = energy.activities.find((each) => each.key === activity);
  if (!row) throw new InputError(`There is no activity called “${activity}”.`, ['activity']);
  return row;
}

function baseCoefficient(energy: EnergyTables, band: AgeBand, activity: Activity): number {
  const byActivity = activityRow(energy, activity).coefficient_kcal_per_kg075;
  // Both tables describe an old dog's slower day: the smaller is used, never both at once.
  if (band === 'senior') {
    return Math.min(byActivity, energy.ages.senior.coefficient_kcal_per_kg075);
  }
  // Hours of work already count everything that a working dog burns, whatever its age.
  if (band === 'young' && activity !== 'working') {
    const { young, adult } = energy.ages;
    return (byActivity * young.coefficient_kcal_per_kg075) / adult.coefficient_kcal_per_kg075;
  }
  return byActivity;
}

function maintaining(
  energy: EnergyTables,
  mass_kg: number,
  band: AgeBand,
  neutered: boolean | null,
  activity: Activity,
): Requirement {
  const factors = energy.neutered;
  const state = neutered === null ? factors.unknown : neutered ? factors.yes : factors.no;
  const age = energy.ages[band];
  const coefficient = baseCoefficient(energy, band, activity) * (state / factors.unknown);
  const size = metabolicMass(mass_kg);
  const resting_kcal = restingKcal(energy, mass_kg);
  const energy_kcal = coefficient * size;
  const row = activityRow(energy, activity);
  return {
    energy_kcal,
    low_kcal: (energy_kcal * age.lowest) / age.coefficient_kcal_per_kg075,
    high_kcal: (energy_kcal * age.highest) / age.coefficient_kcal_per_kg075,
    resting_kcal,
    metabolic_mass_kg075: size,
    stage: 'adult',
    age_band: band,
    method: 'maintenance',
    source: row.source,
    verified: weakest([row.verified, age.verified]),
    coefficient_kcal_per_kg075: coefficient,
    alternatives: [
      { method: 'resting_factor', energy_kcal: state * resting_kcal, source: factors.source },
    ],
    phase: null,
  };
}

function growing(
  energy: EnergyTables,
  mass_kg: number,
  age_days: number,
  adult_kg: number | null,
): Requirement {
  const { growth } = energy;
  const step = age_days >= growth.older.from_months * DAYS_PER_MONTH ? growth.older : growth.young;
  const resting_kcal = restingKcal(energy, mass_kg);
  const byFactor: Alternative = {
    method: 'growth_factor',
    energy_kcal: step.factor * resting_kcal,
    source: step.source,
  };
  // Without an adult weight neither growth equation can be used.
  const [found, alternatives, verified] =
    adult_kg === null
      ? [byFactor, [], step.verified]
      : [
          byNrc(energy, mass_kg, adult_kg),
          [byKlein(energy, mass_kg, adult_kg), byFactor],
          growth.nrc.verified,
        ];
  const size = metabolicMass(mass_kg);
  const spread = [found, ...alternatives.slice(0, 1)].map((each) => each.energy_kcal);
  return {
    energy_kcal: found.energy_kcal,
    low_kcal: Math.min(...spread),
    high_kcal: Math.max(...spread),
    resting_kcal,
    metabolic_mass_kg075: size,
    stage: lifeStage(energy, age_days, adult_kg),
    age_band: 'puppy',
    method: found.method,
    source: found.source,
    verified,
    coefficient_kcal_per_kg075: found.energy_kcal / size,
    alternatives,
    phase: null,
  };
}

function byNrc(energy: EnergyTables, mass_kg: number, adult_kg: number): Alternative {
  const energy_kcal = growthNrcKcal(energy, mass_kg, adult_kg);
  return { method: 'growth_nrc', energy_kcal, source: energy.growth.nrc.source };
}

function byKlein(energy: EnergyTables, mass_kg: number, adult_kg: number): Alternative {
  const energy_kcal = growthKleinKcal(energy, mass_kg, adult_kg);
  return { method: 'growth_klein', energy_kcal, source: energy.growth.klein.source };
}

type Mark = Requirement['verified'];

function weakest(marks: readonly Mark[]): Mark {
  const order: readonly Mark[] = ['memory', 'computed', 'read'];
  return order.find((mark) => marks.includes(mark)) ?? 'memory';
}
