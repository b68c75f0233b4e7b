/** Where a bitch stands between mating and weaning. The twin of the server's. */

import { constantOf, type Phase } from './energy.ts';
import type { EnergyTables } from './tables.ts';

export interface Reproduction {
  readonly phase: Phase | null;
  /** Counted from 1, since mating or since whelping. */
  readonly week: number | null;
  readonly pups: number | null;
  /** The whelping should have been long ago and was not written down. */
  readonly is_overdue: boolean;
}

/** Days since each day that was noted; a day in the future has not come yet. */
export interface BreedingDays {
  readonly days_since_mated?: number | null;
  readonly days_since_whelped?: number | null;
  readonly days_since_weaned?: number | null;
  readonly pups?: number | null;
}

export const NOT_BREEDING: Reproduction = {
  phase: null,
  week: null,
  pups: null,
  is_overdue: false,
};

/** Nothing after weaning, after eight weeks of suckling, or without a living pup. */
export function reproduction(energy: EnergyTables, days: BreedingDays): Reproduction {
  const value = (key: string) => constantOf(energy, key).value;
  const { days_since_mated: mated, days_since_whelped: whelped } = days;
  const pups = days.pups ?? null;
  if (hasCome(days.days_since_weaned)) return NOT_BREEDING;
  if (hasCome(whelped)) {
    if (pups === 0 || whelped >= value('lactation.longest')) return NOT_BREEDING;
    return { phase: 'lactation', week: weekOf(whelped), pups, is_overdue: false };
  }
  if (!hasCome(mated)) return NOT_BREEDING;
  if (mated > value('gestation.longest')) return { ...NOT_BREEDING, is_overdue: true };
  const phase = mated >= value('gestation.late.from') ? 'gestation_late' : 'gestation_early';
  return { phase, week: weekOf(mated), pups: null, is_overdue: false };
}

function hasCome(days: number | null | undefined): days is number {
  return typeof days === 'number' && days >= 0;
}

function weekOf(days: number): number {
  return Math.floor(days / 7) + 1;
}
