import { describe, expect, it } from 'vitest';
import { BOWL, costOf, propose, resolve, type Proposal } from './proposal';
import type { ProposalFood, ProposalLot, ProposalProblem } from './proposal-problem';

const foods: readonly ProposalFood[] = [
  food('beef', 200, { protein: 20, zinc: 5 }),
  food('hen', 150, { protein: 18, zinc: 1 }),
  food('liver', 130, { protein: 20, vitamin_a: 5000 }),
];
const stock: readonly ProposalLot[] = [
  { key: 'b', food: 'beef', mass_g: 2000, pack_g: 500, age_days: 40, price_per_kg: 8 },
  { key: 'h', food: 'hen', mass_g: 2000, pack_g: 500, age_days: 10, price_per_kg: 5 },
];
const draft: ProposalProblem = { energy_kcal: 1000, ingredients: foods, lots: stock };
const effort = { nodes: 2000 };

function food(key: string, energy_kcal_per_100g: number, least: Record<string, number>) {
  return { key, energy_kcal_per_100g, least, most: least };
}

function masses(proposal: Proposal): Record<string, number> {
  const found: Record<string, number> = {};
  for (const { food: key, mass_g } of proposal.lines)
    found[key] = Math.round(((found[key] ?? 0) + mass_g) * 10) / 10;
  return found;
}

describe('a proposal', () => {
  it('takes the oldest first and gives the energy that is needed', () => {
    const found = propose(draft, effort);
    expect(found.lines.map(({ lot, packs }) => [lot, packs])).toEqual([['b', 1]]);
    expect(found.energy_kcal).toBeCloseTo(1000, 1);
    expect(found.missed).toEqual([]);
    expect(found.is_proved).toBe(true);
  });

  it('names what is missing, and unknown is not zero', () => {
    const wanted = [
      { nutrient: 'zinc', minimum: 50 },
      { nutrient: 'iodine', minimum: 100 },
    ];
    const { missed } = propose({ ...draft, wanted }, effort);
    expect(missed.map(({ key, amount }) => [key, amount === null ? null : Math.round(amount)]))
      .toEqual([['zinc', 25], ['iodine', null]]); // prettier-ignore
  });

  it('has an answer with nothing in store', () => {
    const found = propose({ ...draft, lots: [] }, effort);
    expect(found.lines).toEqual([]);
    expect(found.missed.map(({ key }) => key)).toEqual(['energy']);
  });

  it('buys what is pinned and not in store', () => {
    const choices = [{ food: 'liver', least_g: 50, most_g: 50 }];
    const found = propose({ ...draft, choices }, effort);
    expect(found.lines.find((line) => line.food === 'liver')?.lot).toBe('');
  });

  it('stays within its effort and says when that was too little', () => {
    const found = propose({ ...draft, lots: stock.map((lot) => ({ ...lot, pack_g: 300, mass_g: 1800 })) }, { nodes: 0 }); // prettier-ignore
    expect(found.is_proved).toBe(false);
    expect(found.energy_kcal).toBeCloseTo(1000, 1);
  });

  it('tells what a rejected food would have cost', () => {
    const found = propose(draft, effort);
    expect(costOf(draft, found, { food: 'hen', mass_g: 400, effort }).aim).toBe('oldest');
    const forbidden = { ...draft, forbidden: ['hen'] };
    expect(costOf(forbidden, found, { food: 'hen', mass_g: 400, effort }).aim).toBe('forbidden');
  });
});

describe('solving again at the counter', () => {
  it('keeps what is in the bowl and fills up with the rest', () => {
    const left = stock.map((lot) => (lot.key === 'h' ? { ...lot, mass_g: 1500 } : lot));
    const found = resolve(draft, [{ food: 'hen', mass_g: 300 }], left, effort);
    expect(found.lines[0]).toMatchObject({ lot: BOWL, food: 'hen' });
    expect(masses(found)).toEqual({ hen: 300, beef: 275 });
  });

  it('does without a pack that smelled wrong', () => {
    const left = stock.filter((lot) => lot.food !== 'beef');
    expect(Object.keys(masses(resolve(draft, [], left, effort)))).toEqual(['hen']);
  });

  it('does not take out again what one dog may not have', () => {
    const problem = { ...draft, forbidden: ['hen'] };
    const found = resolve(problem, [{ food: 'hen', mass_g: 100 }], stock, effort);
    expect(masses(found)).toEqual({ hen: 100, beef: 425 });
  });

  it('says so when the bowl holds more than is needed', () => {
    const found = resolve(draft, [{ food: 'beef', mass_g: 800 }], stock, effort);
    expect(found.missed).toMatchObject([{ key: 'energy', word: 'over' }]);
  });
});
