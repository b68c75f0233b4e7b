import { describe, expect, it } from 'vitest';
import type { FoodRow, Tables } from '../../domain/tables';
import { kitchenOf, verdict } from './judged';
import { addable, changed, mendsFor } from './mending';
import { eaterOf } from './proposing.examples';

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
    addable_g: new Map(candidates.map((food) => [food, 1000])),
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

  it('add no more of a food than there is', () => {
    const asked = mending(['oyster']);
    expect(mendsFor({ ...asked, addable_g: new Map([['oyster', 30]]) })).toHaveLength(1);
    expect(mendsFor({ ...asked, addable_g: new Map([['oyster', 29]]) })).toEqual([]);
  });

  it('put no limit of a dog’s own over', () => {
    const foods = tables.foods.map((each) => each.key === 'oyster' ? { ...each, group: 'liver' } : each); // prettier-ignore
    const own = kitchenOf({ ...tables, foods }, []);
    const mendsWith = (liver_pct: number) => {
      const eaters = [{ ...eaterOf(500), caps: { liver_pct } }];
      const judged = (next: typeof portions) => verdict(own, next, eaters);
      return mendsFor({ ...mending(['oyster']), kitchen: own, judge: (next) => judged([...next]), verdict: judged(portions) }); // prettier-ignore
    };
    // 30 g in 1030 g are 2.9 %.
    expect(mendsWith(3)).toHaveLength(1);
    expect(mendsWith(2)).toEqual([]);
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

describe('what may be added at the counter', () => {
  it('is what the plan leaves of it, and nothing that a dog may not have or that harms dogs', () => {
    const hazards = [{ key: 'weed', name: 'Weed', synonyms: ['weed'], severity: 'stop' }];
    const own = kitchenOf({ ...tables, hazards } as unknown as Tables, []);
    const inStore_g = new Map([['meat', 900], ['oyster', 100], ['weed', 100]]); // prettier-ignore
    const masses = { inStore_g, toGo_g: new Map([['meat', 600]]) };
    expect([...addable(own, [eaterOf(500)], masses)]).toEqual([['meat', 300], ['oyster', 100]]); // prettier-ignore
    const morag = { ...eaterOf(500), may_not_have: ['oyster'] };
    expect([...addable(own, [morag], masses).keys()]).toEqual(['meat']);
  });
});
