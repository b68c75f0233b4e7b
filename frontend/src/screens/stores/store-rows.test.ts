import { describe, expect, it } from 'vitest';
import type { Rec } from '../../db/store.svelte';
import { emptyLarder, type Ledgered } from './larder';
import { stock } from './stock-list';
import { storeSections, type Setting, type StoreRow } from './store-rows';

const setting: Setting = {
  names: () => 'Beef heart',
  classOf: () => null,
  keeping: [],
  today: '2026-11-28',
  zone: 'Pacific/Auckland',
  units: 'metric',
};

/** The row of bags of which two people counted 1240 g and 620 g without seeing each other. */
function rowOfBags(): StoreRow | undefined {
  const values = {
    batch: 'b',
    mass_g: 620,
    count: 6,
    place: 'freezer',
    packed_at: '2026-11-25T08:00:00Z',
    use_by: '2027-02-25',
  };
  const at = '2026-11-27T08:00:00Z';
  const counts = [1240, 620].map((counted_g, index) => ({
    rid: `c${index}`,
    counted_g,
    knew: [],
    at,
  }));
  const rec = { rid: 'bag', entity: 'bag', values } as unknown as Rec<'bag'>;
  const bag = { rec, stock: stock([], counts, 3720) } as unknown as Ledgered<'bag'>;
  return storeSections({ ...emptyLarder, bags: [bag] }, setting)[0]?.rows[0];
}

describe('a row of bags', () => {
  it('says when two people counted them apart', () => {
    expect(rowOfBags()).toMatchObject({
      detail: 'Use by 25 Feb 2027. Two counts differ: count again',
      tone: 'care',
    });
  });
});
