/** What every published method says a dog needs, side by side. The twin of the server's. */

import {
  ageBand,
  checkRange,
  constantOf,
  growthKleinKcal,
  growthNrcKcal,
  lactationKcal,
  type DogFacts,
} from './energy.ts';
import type { EnergyTables, Life, MethodRow, Sourced } from './tables.ts';

export const DAYS_PER_YEAR = 365.25;
/** Of nine: the first score above ideal, AAHA 2014. */
const OVER_FROM_SCORE = 6;

/** What one method says for one dog; null where a figure it needs is unknown. */
export interface Method extends Sourced {
  readonly key: string;
  readonly name: string;
  readonly energy_kcal: number | null;
  readonly low_kcal: number | null;
  readonly high_kcal: number | null;
  /** Null where nobody wrote down what would decide whether it describes this dog. */
  readonly fits: boolean | null;
  readonly locator: string;
  readonly note: string;
}

export interface MethodFacts extends DogFacts {
  /** Body condition score of nine. */
  readonly condition_score?: number | null;
  readonly breed?: string | null;
}

/** Which part of the tables describes the dog. */
export function lifeOf(energy: EnergyTables, dog: MethodFacts): Life {
  if (dog.phase) return dog.phase;
  const band = ageBand(energy, dog.age_days ?? null, dog.adult_mass_kg ?? null);
  return band === 'puppy' ? 'growing' : 'grown';
}

/** What each published method says for one dog, those that describe another left out. */
export function energyMethods(energy: EnergyTables, dog: MethodFacts): Method[] {
  checkRange('mass_kg', dog.mass_kg, 0.05, 150, 'kg');
  const life = lifeOf(energy, dog);
  const rows = energy.methods.flatMap((row) => {
    const fits = row.life === life ? fitsDog(row, dog) : false;
    return fits === false ? [] : [methodOf(energy, row, dog, fits)];
  });
  return [...equations(energy, dog, life), ...rows];
}

type Origin = Sourced & { readonly locator?: string };

function equation(
  key: string,
  name: string,
  energy_kcal: number | null,
  origin: Origin,
  locator: string,
): Method {
  const { source, verified } = origin;
  const none = { low_kcal: null, high_kcal: null, fits: true, note: '' };
  return { key, name, energy_kcal, ...none, source, locator, verified };
}

function equations(energy: EnergyTables, dog: MethodFacts, life: Life): Method[] {
  if (life === 'growing') {
    const adult = dog.adult_mass_kg ?? null;
    const { nrc, klein } = energy.growth;
    const [byNrc, byKlein] =
      adult === null
        ? [null, null]
        : [growthNrcKcal(energy, dog.mass_kg, adult), growthKleinKcal(energy, dog.mass_kg, adult)];
    return [
      equation('nrc_growth', 'Growth equation', byNrc, nrc, 'growth equation'),
      equation('klein_growth', 'What pet puppies ate', byKlein, klein, 'abstract'),
    ];
  }
  if (life !== 'lactation') return [];
  const [pups, week] = [dog.pups ?? null, Math.min(dog.week ?? 1, 4)];
  const kcal =
    pups === null ? null : lactationKcal(energy, dog.mass_kg, { pups: Math.max(1, pups), week });
  const name = 'Suckling, by week and pups';
  return (['lactation.maintenance', 'lactation.fediaf'] as const).map((key) => {
    const item = constantOf(energy, key);
    const publisher = key === 'lactation.fediaf' ? 'fediaf' : 'nrc';
    return equation(`${publisher}_lactation`, name, kcal, item, item.locator);
  });
}

type Answer = boolean | null;

/** Whether the row describes the dog; null when a fact that decides is unknown. */
function fitsDog(row: MethodRow, dog: MethodFacts): Answer {
  const age_years = dog.age_days == null ? null : dog.age_days / DAYS_PER_YEAR;
  const adult = dog.adult_mass_kg ?? null;
  const grown = adult === null ? null : Math.min(1, dog.mass_kg / adult);
  const answers: Answer[] = [
    holds(row.activity.length > 0, dog.activity, (word) => row.activity.includes(word)),
    holds(row.neutered !== '', dog.neutered, (yes) => yes === (row.neutered === 'yes')),
    holds(row.condition !== '', dog.condition_score, (score) => score >= OVER_FROM_SCORE),
    // A breed that nobody entered is not taken to be one of the three that stand apart.
    row.breed === '' || (dog.breed ?? '').toLowerCase().includes(row.breed),
    within(age_years, row.age_years_from, row.age_years_to, false),
    within(grown, row.grown_from, row.grown_to, false),
    within(adult, row.adult_mass_kg_from, null, true),
    within(dog.week ?? null, row.week_from, row.week_to, true),
    within(dog.pups ?? null, row.pups_from, row.pups_to, true),
  ];
  if (answers.includes(false)) return false;
  return answers.includes(null) ? null : true;
}

function holds<T>(isAsked: boolean, known: T | null | undefined, test: (known: T) => boolean) {
  if (!isAsked) return true;
  return known === null || known === undefined ? null : test(known);
}

function within(
  known: number | null,
  low: number | null,
  high: number | null,
  includesEnd: boolean,
): Answer {
  if (low === null && high === null) return true;
  if (known === null) return null;
  if (low !== null && known < low) return false;
  return high === null || known < high || (includesEnd && known === high);
}

function methodOf(energy: EnergyTables, row: MethodRow, dog: MethodFacts, fits: Answer): Method {
  const perValue = kcalPerValue(energy, row, dog);
  const figure = (value: number | null) =>
    value === null || perValue === null ? null : value * perValue + row.per_kg * dog.mass_kg;
  const { key, name, source, locator, verified, note } = row;
  return {
    key,
    name,
    energy_kcal: figure(row.value),
    low_kcal: figure(row.lowest),
    high_kcal: figure(row.highest),
    fits,
    source,
    locator,
    verified,
    note,
  };
}

function kcalPerValue(energy: EnergyTables, row: MethodRow, dog: MethodFacts): number | null {
  const perKg = dog.mass_kg ** row.mass_exponent;
  const perValue = row.unit === 'times resting' ? perKg * energy.resting.coefficient : perKg;
  if (row.age_exponent === null) return perValue;
  const age_days = dog.age_days ?? null;
  if (age_days === null || age_days <= 0) return null;
  return perValue * (age_days / DAYS_PER_YEAR) ** row.age_exponent;
}
