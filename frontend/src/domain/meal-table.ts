/** Who gets how much at which meal of each day, until a batch is shared out to the gram. */

/** One meal of a day: who eats at it, and how much each gets. */
export interface MealOfDay {
  readonly key: string;
  readonly dishes: readonly { readonly dog: string; readonly mass_g: number }[];
}

export interface MealTable {
  /** One day after the other, each with all meals of a day; 0 g where there is none left. */
  readonly days: readonly (readonly MealOfDay[])[];
  readonly fed_g: number;
  /** What no planned meal takes: to be put by. */
  readonly left_g: number;
  /** What the planned meals would take more than there is. */
  readonly lacking_g: number;
}

/**
 * Shares a whole number of grams in proportion, each share a whole number and their sum exact: the
 * largest remainders get the grams that rounding down left over, the first of equals first.
 */
export function proportioned(total_g: number, weights: readonly number[]): number[] {
  const all = weights.reduce((sum, weight) => sum + weight, 0);
  if (all <= 0) return weights.map(() => 0);
  const exact = weights.map((weight) => (total_g * weight) / all);
  const shares = exact.map(Math.floor);
  const rest_g = total_g - shares.reduce((sum, share) => sum + share, 0);
  const order = exact
    .map((share, index) => ({ index, remainder: share - Math.floor(share) }))
    .sort((a, b) => b.remainder - a.remainder || a.index - b.index);
  for (const { index } of order.slice(0, rest_g)) shares[index] = (shares[index] ?? 0) + 1;
  return shares;
}

/**
 * Full portions meal after meal. The meal that there is not enough for is shared in proportion, and
 * those after it get nothing of this batch.
 *
 * @param meals the meals of one day in their order, with full portions in whole grams
 * @param yield_g what there is to share out, in whole grams
 * @param days for how many days it was planned
 */
export function mealTable(meals: readonly MealOfDay[], yield_g: number, days: number): MealTable {
  let left_g = yield_g;
  const shared = Array.from({ length: days }, () =>
    meals.map((meal): MealOfDay => {
      const full = meal.dishes.map(({ mass_g }) => mass_g);
      const need_g = full.reduce((sum, mass_g) => sum + mass_g, 0);
      const given = left_g >= need_g ? full : proportioned(left_g, full);
      left_g -= Math.min(left_g, need_g);
      const dishes = meal.dishes.map(({ dog }, index) => ({ dog, mass_g: given[index] ?? 0 }));
      return { key: meal.key, dishes };
    }),
  );
  const day_g = meals.flatMap(({ dishes }) => dishes).reduce((sum, { mass_g }) => sum + mass_g, 0);
  const fed_g = yield_g - left_g;
  return { days: shared, fed_g, left_g, lacking_g: Math.max(0, day_g * days - yield_g) };
}
