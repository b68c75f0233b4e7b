/** What the published dose of a hazard comes to for one dog. */
import { doseFor, type Dose } from '../../domain/hazards';
import { InputError } from '../../domain/input-error';
import type { HazardRow } from '../../domain/tables';
import { bodyMass, fixed, foodMass, type Units } from '../../ui/words';

export interface HazardEater {
  readonly name: string;
  /** Null while it has not been weighed. */
  readonly mass_g: number | null;
}

/** The published dose for a dog; null where there is none, or its weight is out of all range. */
function doseOf(hazard: HazardRow, mass_g: number): Dose | null {
  try {
    return doseFor(hazard, mass_g / 1000);
  } catch (error) {
    if (error instanceof InputError) return null;
    throw error;
  }
}

/** ", as in 40 g dark chocolate or 99 g milk chocolate": what holds so much of it. */
function productWords({ products }: Dose, units: Units): string {
  const words = products.map(([name, mass_g]) => `${foodMass(mass_g, units)} ${name}`);
  return words.length === 0 ? '' : `, as in ${words.join(' or ')}`;
}

/** "For Morag, 7.9 kg: from about 40 g." A line for each dog that has been weighed. */
export function doseWords(
  hazard: HazardRow,
  eaters: readonly HazardEater[],
  units: Units,
): string[] {
  return eaters.flatMap(({ name, mass_g }) => {
    const found = mass_g === null ? null : doseOf(hazard, mass_g);
    if (mass_g === null || found === null) return [];
    const dose_mg = found.unit === 'g' ? found.amount * 1000 : found.amount;
    const dose = dose_mg >= 1000 ? foodMass(dose_mg / 1000, units) : `${fixed(dose_mg, 0)} mg`;
    return [
      `For ${name}, ${bodyMass(mass_g, units)}: harm is published from about ${dose} on${productWords(found, units)}.`,
    ];
  });
}
