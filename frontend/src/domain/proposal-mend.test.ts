import { describe, expect, it } from 'vitest';
import file from '../../../fixtures/vectors/mend.json' with { type: 'json' };
import { smallestAdditions, type Batch, type Offer } from './proposal-mend';
import type { ProposalFood, ProposalProblem } from './proposal-problem';

interface Case {
  readonly given: Omit<ProposalProblem, 'ingredients'> & {
    readonly foods: Readonly<Record<string, number>>;
    readonly batch: Batch;
    readonly offers: readonly Offer[];
  };
  readonly least: { readonly short: number; readonly counted_g: number };
}

interface Vectors {
  readonly tolerance: number;
  readonly foods: Readonly<Record<string, ProposalFood>>;
  readonly cases: readonly Case[];
}

const vectors = file as unknown as Vectors;

describe('the phone adds as little as HiGHS does', () => {
  it('has a hundred cases or more', () => {
    expect(vectors.cases.length).toBeGreaterThanOrEqual(100);
  });

  it.each(vectors.cases.map((each, index) => [index, each] as const))('case %i', (_, each) => {
    const { foods, batch, offers, ...given } = each.given;
    const ingredients = Object.keys(foods).flatMap((key) => vectors.foods[key] ?? []);
    const found = smallestAdditions({ ...given, ingredients }, batch, offers);
    for (const aim of ['short', 'counted_g'] as const) {
      const scale = Math.max(1, Math.abs(each.least[aim]));
      const off = Math.abs(found[aim] - each.least[aim]) / scale;
      expect(off, `${aim}: ${found[aim]}, by HiGHS ${each.least[aim]}`).toBeLessThan(
        vectors.tolerance,
      );
    }
  });
});

// Made-up foods, so that what mends them can be worked out by hand.
const meat = { key: 'meat', energy_kcal_per_100g: 200, least: { zinc: 2 }, most: { zinc: 2 } };
const oyster = { key: 'oyster', energy_kcal_per_100g: 50, least: { zinc: 40 }, most: { zinc: 40 } };
const problem: ProposalProblem = {
  energy_kcal: 2000,
  ingredients: [meat, oyster],
  lots: [],
  wanted: [{ nutrient: 'zinc', minimum: 15 }],
};

describe('the smallest additions', () => {
  it('are what arithmetic says', () => {
    const { additions, missed } = smallestAdditions(problem, { meat: 1000 }, [{ food: 'oyster' }]);
    // (20 + 0.4 x) / (2 + 0.0005 x) is to be 15.3: the minimum and its margin.
    expect(additions).toMatchObject([{ food: 'oyster', is_bought: true }]);
    expect(additions[0]?.mass_g).toBeCloseTo((2 * 15.3 - 20) / (0.4 - 15.3 * 0.0005), 1);
    expect(missed).toEqual([]);
  });

  it('name what they cannot close', () => {
    const wanted = [{ nutrient: 'zinc', minimum: 15, maximum: 15.5 }, { nutrient: 'iodine', minimum: 9 }]; // prettier-ignore
    const { missed } = smallestAdditions({ ...problem, wanted }, { meat: 1000 }, [{ food: 'oyster' }]); // prettier-ignore
    expect(missed).toEqual([{ key: 'iodine', word: 'short', amount: null, limit: 9 }]);
  });

  it('refuse a food that nobody knows', () => {
    expect(() => smallestAdditions(problem, { moss: 1 }, [])).toThrow('the food must be known');
  });
});
