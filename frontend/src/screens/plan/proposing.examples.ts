/** A small kitchen for the tests of proposals: invented, and only as much of it as they read. */
import type { FoodRow, Tables } from '../../domain/tables';
import { emptyLarder, type Stocked } from '../stores/larder';
import type { Eater } from './eaters';
import { kitchenOf } from './judged';
import { nothingLately, type Proposing } from './proposing';
import type { PullState } from './pulls';

export function foodOf(key: string, group: string, energy_kcal_per_100g: number): FoodRow {
  return { key, name: key, group, style: 'raw', energy_kcal_per_100g, bone_share: null, v: {} } as unknown as FoodRow; // prettier-ignore
}

/** Tables of these foods, with the animal and part of each where it matters. */
export function tablesOf(
  foods: readonly FoodRow[],
  by_food: Readonly<Record<string, readonly [string, string]>> = {},
): Tables {
  return {
    nutrients: [],
    group_upper: {},
    sources: {},
    foods,
    origins: { species: {}, parts: {}, by_food },
    standards: [{ key: 'nrc-2006', name: 'NRC 2006', stages: { adult: {} } }],
    ratios: { calcium_to_phosphorus: { stages: { adult: { minimum: 1, maximum: 2, source: 's' } } } }, // prettier-ignore
  } as unknown as Tables;
}

export function eaterOf(energy_kcal_per_day: number): Eater {
  return { rid: 'morag', name: 'Morag', stage: 'adult', energy_kcal_per_day, requirement: null, size: {}, grown_share: null } as unknown as Eater; // prettier-ignore
}

/** A lot in the freezer, in packs of 500 g, of which nothing was taken yet. */
export function lotOf(
  rid: string,
  food: string,
  { mass_g, price = null }: { mass_g: number; price?: object | null },
): Stocked<'lot'> {
  return {
    rec: { rid, values: { food, pack_mass_g: 500, place: 'freezer', frozen_on: '2026-10-01', price } }, // prettier-ignore
    stock: { total_g: mass_g, thawed_g: 0, in_place_g: mass_g, thaws: [] },
    stored_g: mass_g,
    first_at: null,
  } as unknown as Stocked<'lot'>;
}

/** Packs of 500 g of a lot, promised to a batch and still frozen; without one, to a meal. */
export function pullOf(of: string, batch: string | null, packs: number): PullState {
  return { rec: { rid: 'p', values: { of, batch, pack_mass_g: 500, packs } }, to_do: [...Array(packs).keys()], moved: [] } as unknown as PullState; // prettier-ignore
}

export function proposingOf(
  tables: Tables,
  lots: readonly Stocked<'lot'>[],
  given: Pick<Proposing, 'eaters' | 'days'> & Partial<Proposing>,
): Proposing {
  return {
    kitchen: kitchenOf(tables, []),
    larder: { ...emptyLarder, lots },
    dogs: [],
    lately: nothingLately,
    choices: [],
    today: '2026-11-28',
    now: '2026-11-28T09:00:00.000Z',
    fridge_c: null,
    ...given,
  };
}
