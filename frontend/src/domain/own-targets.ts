/** One dog's own limits, by what it ate or needs. The twin of the server's own targets. */

import type { Targets } from './adequacy.ts';
import type { Requirement } from './energy.ts';
import { forDog } from './standards.ts';
import type { Tables } from './tables.ts';

/**
 * An average under the resting need says that meals were not written down, or that the dog is ill;
 * one over eleven times it (AAHA 2021: the heaviest work) that a mass was mistyped. Neither tells
 * how much the dog's food must hold. A choice of this project.
 */
const [LEAST_OF_RESTING, MOST_OF_RESTING] = [1, 11] as const;

export interface OwnIntake {
  /** What it ate on an average day; null when that is not known. */
  readonly eaten_kcal_per_day?: number | null;
  /** Weight now over expected adult weight, for a growing dog. */
  readonly grown_share?: number | null;
}

/** By the intake where it lies between one and eleven times the resting need, else by the need. */
export function ownTargets(
  tables: Pick<Tables, 'standards' | 'energy'>,
  table: Targets,
  need: Pick<Requirement, 'energy_kcal' | 'resting_kcal' | 'metabolic_mass_kg075'> | null,
  { eaten_kcal_per_day, grown_share }: OwnIntake = {},
): Targets {
  if (need === null) return table;
  const eaten = eaten_kcal_per_day ?? null;
  const share = eaten === null ? 0 : eaten / need.resting_kcal;
  const isBelievable = share >= LEAST_OF_RESTING && share <= MOST_OF_RESTING;
  return forDog(tables, table, {
    energy_kcal: eaten !== null && isBelievable ? eaten : need.energy_kcal,
    metabolic_mass_kg075: need.metabolic_mass_kg075,
    grown_share: grown_share ?? null,
  });
}
