/** What the published dose of a hazard comes to for one dog. */
import type { HazardRow } from '../../domain/tables';
import { bodyMass, fixed, foodMass, type Units } from '../../ui/words';

export interface HazardEater {
  readonly name: string;
  /** Null while it has not been weighed. */
  readonly mass_g: number | null;
}

/** Milligrams of the thing that the published dose is for a dog; null where no dose is published. */
function doseFor_mg(hazard: HazardRow, mass_g: number): number | null {
  const { amount, unit } = hazard;
  if (amount == null || unit == null) return null;
  const kg = mass_g / 1000;
  if (unit === 'g/kg') return amount * kg * 1000;
  return unit === 'mg/kg' ? amount * kg : null;
}

/** "For Morag, 7.9 kg: from about 40 g." A line for each dog that has been weighed. */
export function doseWords(
  hazard: HazardRow,
  eaters: readonly HazardEater[],
  units: Units,
): string[] {
  return eaters.flatMap(({ name, mass_g }) => {
    const dose_mg = mass_g === null ? null : doseFor_mg(hazard, mass_g);
    if (mass_g === null || dose_mg === null) return [];
    const dose = dose_mg >= 1000 ? foodMass(dose_mg / 1000, units) : `${fixed(dose_mg, 0)} mg`;
    return [`For ${name}, ${bodyMass(mass_g, units)}: harm is published from about ${dose} on.`];
  });
}
