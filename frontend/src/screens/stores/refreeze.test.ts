import { describe, expect, it } from 'vitest';
import type { Rec } from '../../db/store.svelte';
import type { Bag, Lot } from '../../domain/kinds';
import type { Stocked } from './larder';
import { freezeRefusal, lotFreezeRefusal } from './refreeze';

const TODAY = '2026-11-28';
const bag: Bag = {
  batch: 'b',
  mass_g: 620,
  count: 6,
  place: 'fridge',
  packed_at: '2026-11-24T18:00:00Z',
  use_by: '2026-11-27',
};

describe('bags that are moved to the freezer', () => {
  it('stay out of it once their day in the fridge is past', () => {
    expect(freezeRefusal(bag, TODAY)).toContain('past its use-by');
  });

  it('may go there until then, and lie there as long as they like', () => {
    expect(freezeRefusal({ ...bag, use_by: TODAY }, TODAY)).toBeNull();
    expect(freezeRefusal({ ...bag, use_by: null }, TODAY)).toBeNull();
    expect(freezeRefusal({ ...bag, place: 'freezer' }, TODAY)).toBeNull();
  });
});

describe('a lot that is moved to the freezer', () => {
  // Cold food storage chart of FoodSafety.gov: fresh poultry keeps 1 to 2 days in the fridge.
  const fresh = { class: 'poultry_pieces', place: 'fridge', days_min: 1, days_max: 2, source: 's' };
  const setting = { classOf: () => 'poultry_pieces', keeping: [fresh as never] };
  const lot = (values: Partial<Lot>) => {
    const bought = { food: 'chicken', pack_mass_g: 500, bought_on: '2026-11-26' };
    return { rec: { values: { ...bought, ...values } } as Rec<'lot'> } as Stocked<'lot'>;
  };

  it('stays out of it once its day in the fridge is past', () => {
    expect(lotFreezeRefusal(lot({ place: 'fridge' }), TODAY, setting)).toContain('past its use-by');
  });

  it('may go there until then, or where it was frozen in time and nobody wrote it down', () => {
    expect(lotFreezeRefusal(lot({ place: 'fridge' }), '2026-11-27', setting)).toBeNull();
    const undated = lot({ place: 'fridge', bought_on: null });
    expect(lotFreezeRefusal(undated, TODAY, setting)).toBeNull();
    expect(lotFreezeRefusal(lot({ place: 'freezer' }), TODAY, setting)).toBeNull();
    expect(lotFreezeRefusal(lot({ place: 'shelf' }), TODAY, setting)).toBeNull();
  });
});
