/** Putting a finished batch by: bags for the fridge that will be eaten in time, the rest frozen. */
import type { Batch } from '../../domain/kinds';
import { dayOf } from '../../ui/days';
import { scaleMass, type Units } from '../../ui/words';

export interface BagPlan {
  readonly bag_g: number;
  readonly fridge: number;
  readonly freezer: number;
  /** What fits into no whole bag: to be fed first. */
  readonly left_g: number;
}

/** The most one bag may hold [g], and the most of one kind, as a record has them. */
const MOST_BAG_G = 50_000;
export const MOST_BAGS = 500;

/**
 * A first proposal: one bag holds a day's food for all dogs.
 *
 * @param yield_g mass of the finished batch [g]
 * @param day_g what all dogs eat of it in a day [g]
 * @param fridgeDays days it keeps in the fridge; null when no table says
 */
export function proposedBags(yield_g: number, day_g: number, fridgeDays: number | null): BagPlan {
  const bag_g = Math.min(Math.round(day_g), MOST_BAG_G);
  if (bag_g <= 0 || yield_g <= 0) return { bag_g: 0, fridge: 0, freezer: 0, left_g: yield_g };
  const bags = Math.floor(yield_g / bag_g);
  const fridge = Math.min(bags, Math.max(0, fridgeDays ?? 0));
  const freezer = Math.min(bags - fridge, MOST_BAGS);
  return { bag_g, fridge, freezer, left_g: yield_g - (fridge + freezer) * bag_g };
}

/** What is left in the bowl after so many bags; negative when there is not enough [g]. */
export function leftOver_g(
  yield_g: number,
  plan: Pick<BagPlan, 'bag_g' | 'fridge' | 'freezer'>,
): number {
  return yield_g - plan.bag_g * (plan.fridge + plan.freezer);
}

/** The day from which a batch keeps: when it was mixed, however much later it is shared out. */
export function keepsFrom({ mix }: Pick<Batch, 'mix'>, today: string, zone: string): string {
  return mix ? dayOf(mix.at, zone) : today;
}

/** Where what fits into no whole bag goes. */
export type Rest = 'first' | 'fridge' | 'freezer';

export interface Bagged {
  readonly place: 'fridge' | 'freezer';
  readonly count: number;
  readonly mass_g: number;
}

/** A mass in as few bags as hold it, alike to the gram. */
function inBags(place: Bagged['place'], mass_g: number): Bagged[] {
  const count = Math.ceil(mass_g / MOST_BAG_G);
  const least_g = Math.floor(mass_g / count);
  const larger = mass_g - least_g * count;
  return [
    { place, count: larger, mass_g: least_g + 1 },
    { place, count: count - larger, mass_g: least_g },
  ];
}

/** The bags to be written down, the rest in one of its own, or more, unless it is fed first. */
export function baggedUp(
  bags: Pick<BagPlan, 'bag_g' | 'fridge' | 'freezer'>,
  left_g: number,
  rest: Rest,
): Bagged[] {
  const whole: Bagged[] = (['fridge', 'freezer'] as const).map((place) => ({
    place,
    count: bags[place],
    mass_g: bags.bag_g,
  }));
  const last = rest === 'first' || left_g <= 0 ? [] : inBags(rest, left_g);
  return [...whole, ...last].filter(({ count, mass_g }) => count > 0 && mass_g > 0);
}

/** "1500 g went in, 45 g (3 %) stayed behind." */
export function lossWords(
  put_g: number,
  yield_g: number | null,
  { isCooked, units }: { isCooked: boolean; units: Units },
): string {
  const went = `${scaleMass(put_g, units)} went in`;
  if (yield_g === null || yield_g <= 0) return `${went}.`;
  const share = (mass_g: number): string => {
    const percent = Math.round((mass_g / Math.max(1, put_g)) * 100);
    return percent > 0 ? String(percent) : 'under 1';
  };
  const lost_g = put_g - yield_g;
  if (lost_g === 0) return `${went}, nothing was lost.`;
  if (isCooked && lost_g > 0) return `${went} raw: ${share(yield_g)} % of it is left.`;
  return lost_g > 0
    ? `${went}, ${scaleMass(lost_g, units)} (${share(lost_g)} %) stayed behind.`
    : `${went}: it weighs ${scaleMass(-lost_g, units)} more now. Was water added, or a food not put in here?`;
}
