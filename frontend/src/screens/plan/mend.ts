/**
 * The smallest change to a batch that brings one nutrient inside what is wanted.
 *
 * A density is an amount per 1000 kcal of the whole batch, so adding a food moves both the amount
 * and the energy. Only the known part of a nutrient counts: what is unknown cannot mend anything.
 */

export interface Mixture {
  /** Known amount of the nutrient in the batch, in its own unit. */
  readonly known: number;
  /** Energy of the batch [kcal]. */
  readonly energy_kcal: number;
}

export interface Ingredient {
  /** Amount of the nutrient per 100 g, in the same unit; null when unknown. */
  readonly per_100g: number | null;
  readonly energy_kcal_per_100g: number;
}

/** An amount per 1000 kcal, or null when there is no energy to divide by. */
export function density(mixture: Mixture): number | null {
  return mixture.energy_kcal > 0 ? (mixture.known * 1000) / mixture.energy_kcal : null;
}

/** How far one gram of a food pulls the batch above a density, times 1000. */
function pullPerGram(food: Ingredient, wanted: number): number | null {
  if (food.per_100g === null) return null;
  return (1000 * food.per_100g - wanted * food.energy_kcal_per_100g) / 100;
}

/** The mixture with some grams of a food added (or, when negative, held back). */
export function withFood(mixture: Mixture, food: Ingredient, mass_g: number): Mixture {
  return {
    known: mixture.known + ((food.per_100g ?? 0) * mass_g) / 100,
    energy_kcal: mixture.energy_kcal + (food.energy_kcal_per_100g * mass_g) / 100,
  };
}

/**
 * Grams of a food that lift the density to a minimum; null when this food cannot do it.
 *
 * @param minimum wanted amount per 1000 kcal, in the nutrient's unit
 */
export function smallestAddition_g(
  mixture: Mixture,
  food: Ingredient,
  minimum: number,
): number | null {
  const pull = pullPerGram(food, minimum);
  const missing = minimum * mixture.energy_kcal - 1000 * mixture.known;
  if (missing <= 0) return 0;
  return pull === null || pull <= 0 ? null : missing / pull;
}

/**
 * Grams of a food to hold back so that the density falls to a maximum; null when holding back all
 * of it does not suffice.
 *
 * @param maximum most allowed per 1000 kcal, in the nutrient's unit
 * @param available_g grams that can still be held back [g]
 */
export function smallestHoldBack_g(
  mixture: Mixture,
  food: Ingredient,
  options: { readonly maximum: number; readonly available_g: number },
): number | null {
  const pull = pullPerGram(food, options.maximum);
  const excess = 1000 * mixture.known - options.maximum * mixture.energy_kcal;
  if (excess <= 0) return 0;
  if (pull === null || pull <= 0) return null;
  const mass_g = excess / pull;
  return mass_g <= options.available_g ? mass_g : null;
}

/** A mass as somebody can weigh it: whole grams below 20 g, steps of 5 g above; rounded up. */
export function weighable_g(mass_g: number): number {
  const step = mass_g < 20 ? 1 : 5;
  return Math.ceil(Number((mass_g / step).toFixed(6))) * step;
}
