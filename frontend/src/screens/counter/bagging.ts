/** Putting a finished batch by: bags for the fridge that will be eaten in time, the rest frozen. */

export interface BagPlan {
  readonly bag_g: number;
  readonly fridge: number;
  readonly freezer: number;
  /** What fits into no whole bag: to be fed first. */
  readonly left_g: number;
}

/**
 * A first proposal: one bag holds a day's food for all dogs.
 *
 * @param yield_g mass of the finished batch [g]
 * @param day_g what all dogs eat of it in a day [g]
 * @param fridgeDays days it keeps in the fridge; null when no table says
 */
export function proposedBags(yield_g: number, day_g: number, fridgeDays: number | null): BagPlan {
  const bag_g = Math.min(Math.round(day_g), 50_000);
  if (bag_g <= 0 || yield_g <= 0) return { bag_g: 0, fridge: 0, freezer: 0, left_g: yield_g };
  const bags = Math.floor(yield_g / bag_g);
  const fridge = Math.min(bags, Math.max(0, fridgeDays ?? 0));
  return { bag_g, fridge, freezer: bags - fridge, left_g: yield_g - bags * bag_g };
}

/** What is left in the bowl after so many bags; negative when there is not enough [g]. */
export function leftOver_g(
  yield_g: number,
  plan: Pick<BagPlan, 'bag_g' | 'fridge' | 'freezer'>,
): number {
  return yield_g - plan.bag_g * (plan.fridge + plan.freezer);
}
