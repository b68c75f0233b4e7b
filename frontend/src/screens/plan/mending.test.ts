import { describe, expect, it } from 'vitest';
import type { FoodRow, Tables } from '../../domain/tables';
import { kitchenOf, verdict } from './judged';
import { changed, mendsFor } from './mending';

function food(key: string, energy: number, v: Record<string, number>): FoodRow {
  return {
    key,
    name: key,
    group: 'red_meat',
    style: 'raw',
    state: 'raw',
    bone_share: null,
    bone_source: null,
    energy_kcal_per_100g: energy,
    energy_method: 'atwater',
    source: 's',
    locator: 'l',
    keeping_class: null,
    v,
  };
}

const limit = (minimum: number | null, maximum: number | null) => ({
  minimum,
  recommended: minimum,
  maximum,
  source: 's',
  locator: 'l',
  verified: 'read' as const,
});

// Made-up limits, so that the smallest mend can be worked out by hand.
const tables = {
  nutrients: [
    { key: 'zinc', name: 'Zinc', unit: 'mg', decimals: 1, group: 'trace elements' },
    { key: 'iodine', name: 'Iodine', unit: 'µg', decimals: 0, group: 'trace elements' },
  ],
  group_upper: {},
  sources: {},
  foods: [
    food('meat', 200, { zinc: 2, iodine: 10 }),
    food('oyster', 50, { zinc: 40, iodine: 50 }),
    food('weed', 100, { zinc: 40, iodine: 100_000 }),
  ],
  standards: [
    {
      key: 'nrc-2006',
      name: 'NRC 2006',
      stages: { adult: { zinc: limit(15, null), iodine: limit(20, 1000) } },
    },
  ],
  ratios: {
    calcium_to_phosphorus: { stages: { adult: { minimum: 1, maximum: 2, source: 's' } } },
  },
} as unknown as Tables;

const kitchen = kitchenOf(tables, []);
const portions = [{ food: 'meat', mass_g: 1000 }];
const judge = (next: readonly { food: string; mass_g: number }[]) => verdict(kitchen, next, []);

function mending(candidates: string[]) {
  return {
    kitchen,
    portions,
    verdict: judge(portions),
    judge,
    candidates,
    holdable_g: new Map([['meat', 1000]]),
  };
}

describe('mends', () => {
  // 1000 g of meat: 2000 kcal, 20 mg zinc, 10 per 1000 kcal; 15 are wanted.
  // x g of oyster: (20 + 0.4 x) / (2 + 0.0005 x) >= 15, so x >= 10 / 0.3925 = 25.5 g.
  it('are the smallest addition that can be weighed', () => {
    const [mend] = mendsFor(mending(['oyster']));
    expect(mend).toMatchObject({ nutrient: 'zinc', food: 'oyster', mass_g: 30, word: 'met' });
  });

  it('never put something else over', () => {
    expect(mendsFor(mending(['weed']))).toEqual([]);
  });

  it('hold back what puts it over', () => {
    const over = [...portions, { food: 'weed', mass_g: 10 }];
    const [mend] = mendsFor({
      ...mending([]),
      portions: over,
      verdict: judge(over),
      holdable_g: new Map([['weed', 10]]),
    }).filter((each) => each.nutrient === 'iodine');
    expect(mend).toMatchObject({ food: 'weed', word: 'met' });
    expect(mend?.mass_g).toBeLessThan(0);
  });
});

describe('changed', () => {
  it('adds to what is there and never goes below nothing', () => {
    expect(changed(portions, 'meat', 200)).toEqual([{ food: 'meat', mass_g: 1200 }]);
    expect(changed(portions, 'meat', -2000)).toEqual([{ food: 'meat', mass_g: 0 }]);
    expect(changed(portions, 'oyster', 30)).toHaveLength(2);
  });
});
