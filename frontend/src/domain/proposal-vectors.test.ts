import { describe, expect, it } from 'vitest';
import file from '../../../fixtures/vectors/proposal.json' with { type: 'json' };
import { AIMS, buildModel, type Aim } from './proposal-matrices';
import type { ProposalFood, ProposalProblem } from './proposal-problem';
import { solveStaged } from './proposal-stages';

interface Case {
  readonly given: Omit<ProposalProblem, 'ingredients'> & {
    readonly foods: Readonly<Record<string, number>>;
  };
  readonly least: Readonly<Record<Aim, number>>;
}

interface Vectors {
  readonly tolerance: number;
  readonly foods: Readonly<Record<string, ProposalFood>>;
  readonly cases: readonly Case[];
}

const vectors = file as unknown as Vectors;

function problemOf({ given: { foods, ...given } }: Case): ProposalProblem {
  const ingredients = Object.entries(foods).flatMap(([key, fed_share]) => {
    const food = vectors.foods[key];
    return food ? [{ ...food, fed_share }] : [];
  });
  return { ...given, ingredients };
}

describe('the phone proposes what HiGHS proposes', () => {
  it('has two hundred cases or more', () => {
    expect(vectors.cases.length).toBeGreaterThanOrEqual(200);
  });

  it('leaves less than a pack of each lot, even without time for a search', () => {
    for (const each of vectors.cases) {
      const model = buildModel(problemOf(each));
      const { left } = solveStaged(model, { nodes: 0 }).least;
      expect(left).toBeLessThanOrEqual(model.packs.reduce((all, { size }) => all + size, 0));
    }
  });

  it.each(vectors.cases.map((each, index) => [index, each] as const))('case %i', (_, each) => {
    const found = solveStaged(buildModel(problemOf(each)), { nodes: 20_000 });
    expect(found.is_proved).toBe(true);
    for (const aim of AIMS) {
      const scale = Math.max(1, Math.abs(each.least[aim]));
      const off = Math.abs(found.least[aim] - each.least[aim]) / scale;
      expect(off, `${aim}: ${found.least[aim]}, by HiGHS ${each.least[aim]}`).toBeLessThan(
        vectors.tolerance,
      );
    }
  });
});
