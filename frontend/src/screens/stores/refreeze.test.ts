import { describe, expect, it } from 'vitest';
import type { Bag } from '../../domain/kinds';
import { freezeRefusal } from './refreeze';

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
