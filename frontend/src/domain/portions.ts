/** How much each dog gets of a batch, and the meals it makes. The twin of the server's portions. */

import { InputError } from './input-error.ts';

// A quotient such as 3 that floating point made 2.9999999999 is still three meals.
const TOLERANCE = 1e-9;

/** A dog that eats from the batch; `share` is the part of its day's energy it is to give. */
export interface Eater {
  readonly key: string;
  readonly energy_kcal_per_day: number;
  readonly meals_per_day: number;
  readonly share?: number;
}

export interface DogPortion {
  readonly key: string;
  readonly mass_g_per_meal: number;
  readonly mass_g_per_day: number;
  readonly energy_kcal_per_meal: number;
}

/** A batch shared out; `meals` is how often every dog can be fed once from it. */
export interface PortionPlan {
  readonly energy_kcal_per_g: number;
  readonly portions: readonly DogPortion[];
  readonly meal_g: number;
  readonly meals: number;
  readonly days: number;
  readonly left_over_g: number;
}

export interface Batch {
  readonly energy_kcal: number;
  readonly yield_g: number;
  /** Portions are rounded to this step of the scale. */
  readonly step_g?: number;
}

/** Each dog's portion, the meals a batch makes and what is left over. */
export function shareOut(eaters: readonly Eater[], batch: Batch): PortionPlan {
  const step_g = batch.step_g ?? 1;
  check(eaters, batch, step_g);
  const density = batch.energy_kcal / batch.yield_g;
  const portions = eaters.map((eater) => portion(eater, density, step_g));
  const meal_g = portions.reduce((all, each) => all + each.mass_g_per_meal, 0);
  const day_g = portions.reduce((all, each) => all + each.mass_g_per_day, 0);
  const meals = Math.floor(batch.yield_g / meal_g + TOLERANCE);
  return {
    energy_kcal_per_g: density,
    portions,
    meal_g,
    meals,
    days: batch.yield_g / day_g,
    left_over_g: Math.max(0, batch.yield_g - meals * meal_g),
  };
}

function portion(eater: Eater, density: number, step_g: number): DogPortion {
  const share = eater.share ?? 1;
  const exact_g = (eater.energy_kcal_per_day * share) / eater.meals_per_day / density;
  // Halves go up, as a person rounds; a portion is never rounded away.
  const steps = Math.max(1, Math.floor(exact_g / step_g + 0.5 + TOLERANCE));
  const mass_g = steps * step_g;
  return {
    key: eater.key,
    mass_g_per_meal: mass_g,
    mass_g_per_day: mass_g * eater.meals_per_day,
    energy_kcal_per_meal: mass_g * density,
  };
}

function check(eaters: readonly Eater[], batch: Batch, step_g: number): void {
  const amounts = { energy_kcal: batch.energy_kcal, yield_g: batch.yield_g, step_g };
  for (const [name, amount] of Object.entries(amounts)) {
    if (!Number.isFinite(amount) || amount <= 0) {
      throw new InputError(
        `${name} is ${amount}; it must be over zero. Weigh the batch and try again.`,
        [name],
      );
    }
  }
  if (eaters.length === 0) {
    throw new InputError('No dog eats from this batch. Choose at least one.', ['eaters']);
  }
  for (const { key, energy_kcal_per_day, meals_per_day, share = 1 } of eaters) {
    if (!(energy_kcal_per_day > 0 && meals_per_day >= 1 && share > 0 && share <= 1)) {
      throw new InputError(
        `${key}: ${energy_kcal_per_day} kcal a day, ${meals_per_day} meals and a share of ` +
          `${share} were given; the need must be over zero, meals at least 1, and the share ` +
          'over 0 and up to 1.',
        ['eaters'],
      );
    }
  }
}
