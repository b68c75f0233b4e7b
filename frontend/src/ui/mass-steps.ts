/** Stepping and typing a mass in the member's unit, so that no gram is made or lost by rounding. */
import { foodGrams, knownMass, scaleFigure, scaleUnits, type Units } from './words';

/** A round amount, in grams and in ounces; or one whole pack. */
export type MassStep = Readonly<Record<Units, number>> | { readonly pack_g: number };

export interface MassLimits {
  readonly min_g: number;
  readonly max_g: number;
}

/** So many whole packs, where a scale shows them just as it shows the mass. */
function wholePacks(mass_g: number, step: MassStep, units: Units): number {
  if (!('pack_g' in step) || step.pack_g <= 0) return mass_g;
  return knownMass(mass_g, Math.round(mass_g / step.pack_g) * step.pack_g, units);
}

/** The number from which steps go; packs are counted by their exact mass. */
export function stepsFrom(mass_g: number, step: MassStep, units: Units): number {
  if (units === 'metric') return mass_g;
  if (!('pack_g' in step)) return scaleFigure(mass_g, units);
  return wholePacks(mass_g, step, units) / scaleUnits[units].unit_g;
}

/** The size of a step in the member's unit. */
export function stepSize(step: MassStep, units: Units): number {
  return 'pack_g' in step ? step.pack_g / scaleUnits[units].unit_g : step[units];
}

/** The limits as they are typed; the most is what the scale shows of all there is. */
export function shownLimits(
  { min_g, max_g }: MassLimits,
  units: Units,
): { readonly min: number; readonly max: number } {
  if (units === 'metric') return { min: min_g, max: max_g };
  const { unit_g } = scaleUnits[units];
  return { min: Math.ceil((min_g / unit_g) * 100) / 100, max: scaleFigure(max_g, units) };
}

/**
 * Whole grams within the limits, of what was stepped to or typed. The most that is shown is all
 * there is, and what is shown as whole packs is whole packs.
 */
export function steppedGrams(
  shown: number,
  step: MassStep,
  limits: MassLimits,
  units: Units,
): number {
  const { min_g, max_g } = limits;
  if (shown >= shownLimits(limits, units).max) return max_g;
  const mass_g = wholePacks(foodGrams(shown, units), step, units);
  return Math.min(max_g, Math.max(min_g, mass_g));
}
