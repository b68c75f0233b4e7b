/** Dividing packs of a lot into smaller ones: what leaves one lot is put into another. */
import { create, transact } from '../../db/store.svelte';
import type { Lot } from '../../domain/kinds';
import type { Stocked } from './larder';
import type { Thaw } from './stock-list';

export interface Division {
  /** What is taken from the lot [g]. */
  readonly taken_g: number;
  /** What of it is thrown away, such as skin and trimmings; less than all of it [g]. */
  readonly waste_g: number;
  /** The new packs: their mass, shape and place. */
  readonly into: Pick<Lot, 'pack_mass_g'> & Partial<Lot>;
  readonly at: string;
}

/**
 * What a part of a lot cost, which is never more than all of it did; null when the price, or what it
 * was paid for, is not known.
 */
export function priceOf(lot: Stocked<'lot'>, mass_g: number): Lot['price'] {
  const { stored_g } = lot;
  const { price } = lot.rec.values;
  if (!price || stored_g <= 0) return null;
  return { ...price, minor: Math.round((price.minor * Math.min(mass_g, stored_g)) / stored_g) };
}

/** The new lot: what is known of the old one holds for its parts too. */
export function dividedLot(lot: Stocked<'lot'>, { into, taken_g }: Division): Lot {
  const { food, place, place_name, shelf, frozen_on, bought_on, best_by, seller, own } =
    lot.rec.values;
  return {
    ...{ food, place, place_name, shelf, frozen_on, bought_on, best_by, seller, own },
    ...into,
    price: priceOf(lot, taken_g),
    divided_from: lot.rec.rid,
  };
}

/** What of a mass that leaves a lot lies thawed: thawed packs go first, the oldest in front. */
function thawedOf({ stock }: Stocked<'lot'>, mass_g: number): Thaw[] {
  let left_g = mass_g;
  return stock.thaws.flatMap((thaw) => {
    const part_g = Math.min(thaw.mass_g, left_g);
    left_g -= part_g;
    return part_g > 0 ? [{ ...thaw, mass_g: part_g }] : [];
  });
}

/**
 * Writes a division as one entry, all of it or nothing; returns the id of the new lot. What had
 * thawed stays thawed in smaller packs, and keeps from when it was: a knife freezes nothing again.
 */
export async function divide(lot: Stocked<'lot'>, division: Division): Promise<string> {
  const { taken_g, waste_g, at } = division;
  const of = lot.rec.rid;
  const mass_g = taken_g - waste_g;
  let into = '';
  await transact(async () => {
    into = await create('lot', dividedLot(lot, division));
    await create('movement', { of, what: 'used', mass_g, at, into });
    await create('movement', { of: into, what: 'stored', mass_g, at });
    for (const thaw of thawedOf(lot, mass_g)) {
      const { since, way } = thaw;
      await create('movement', { of: into, what: 'thawed', mass_g: thaw.mass_g, at: since, way });
    }
    if (waste_g > 0) await create('movement', { of, what: 'discarded', mass_g: waste_g, at });
  });
  return into;
}
