/** What is published to harm a dog of one weight. The twin of the server's hazards. */

import { checkRange } from './energy.ts';
import type { HazardRow } from './tables.ts';

export interface Dose {
  /** In grams or milligrams, as the unit says. */
  readonly amount: number;
  readonly unit: string;
  /** Products that hold so much of it, each with its grams. */
  readonly products: readonly (readonly [string, number])[];
}

/** The published dose for a dog of this weight; null where none is, and no amount is known safe. */
export function doseFor(hazard: HazardRow, mass_kg: number): Dose | null {
  checkRange('mass_kg', mass_kg, 0.05, 150, 'kg');
  if (hazard.amount === null || hazard.amount === undefined) return null;
  const amount = hazard.amount * mass_kg;
  return {
    amount,
    unit: (hazard.unit ?? '').replace('/kg', ''),
    products: (hazard.contents ?? []).map(({ name, amount_mg_per_g }) => [
      name,
      amount / amount_mg_per_g,
    ]),
  };
}
