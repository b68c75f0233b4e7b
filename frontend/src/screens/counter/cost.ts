/** What a batch cost, from the lots that it was made of. */
import { proportioned } from '../../domain/meal-table';
import { priceOf } from '../stores/dividing';
import type { Larder } from '../stores/larder';

export interface Cost {
  /** In the smallest coin, by currency. */
  readonly minor: ReadonlyMap<string, number>;
  /** Grams of it that nobody paid for as far as is written down: not in the sum [g]. */
  readonly unpriced_g: number;
}

/**
 * The part of each lot's price that went into the batch. What was thrown away is no part of it.
 *
 * @param put_g what was weighed in [g]; what came from no lot has no price
 */
export function costOf(larder: Larder, batch: string, put_g: number): Cost {
  const minor = new Map<string, number>();
  let priced_g = 0;
  for (const lot of larder.lots) {
    const used_g = lot.movements
      .filter(({ values }) => values.batch === batch && values.what === 'used')
      .reduce((sum, { values }) => sum + values.mass_g, 0);
    const price = used_g > 0 ? priceOf(lot, used_g) : null;
    if (!price) continue;
    // What was taken out beyond what was ever stored, nobody paid for as far as is known.
    priced_g += Math.min(used_g, lot.stored_g);
    minor.set(price.currency, (minor.get(price.currency) ?? 0) + price.minor);
  }
  return { minor, unpriced_g: Math.max(0, Math.round(put_g - priced_g)) };
}

/** What a part of the finished batch cost, in the smallest coin. */
export function partOf(minor: number, part_g: number, yield_g: number): number {
  return yield_g > 0 ? Math.round((minor * part_g) / yield_g) : 0;
}

/** What a day's food cost of all dogs, and of each: to the coin, so that the dogs add up to the day. */
export function dayCost(
  minor: number,
  eaten_g: readonly number[],
  yield_g: number,
): { readonly all: number; readonly each: readonly number[] } {
  const all = partOf(
    minor,
    eaten_g.reduce((sum, day_g) => sum + day_g, 0),
    yield_g,
  );
  return { all, each: proportioned(all, eaten_g) };
}
