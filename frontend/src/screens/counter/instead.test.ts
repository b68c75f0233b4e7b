import { describe, expect, it } from 'vitest';
import type { Proposal } from '../../domain/proposal';
import { eaterOf, foodOf, lotOf, proposingOf, pullOf, tablesOf } from '../plan/proposing.examples';
import { work } from '../plan/solver-work';
import { emptyLarder } from '../stores/larder';
import { choicesFor, insteadAskOf, insteadOf, lacking_g } from './instead';
import { weighLines } from './weigh-in';

const plan = [
  { food: 'heart', mass_g: 600 },
  { food: 'liver', mass_g: 100 },
];
const lines = weighLines(plan, [
  { rid: 'a', food: 'heart', mass_g: 610, at: '2026-11-25T09:00:00Z' },
  { rid: 'b', food: 'egg', mass_g: 50, at: '2026-11-25T09:01:00Z' },
]);

describe('a food that is not good', () => {
  it('is lacking only for what the rest in store does not give', () => {
    const liver = lines.find(({ food }) => food === 'liver');
    expect(lacking_g(liver, 300)).toBe(0);
    expect(lacking_g(liver, 99)).toBe(0);
    expect(lacking_g(liver, 60)).toBe(40);
    expect(lacking_g(lines[0], 0)).toBe(0);
    expect(lacking_g(undefined, 0)).toBe(0);
  });

  it('leaves what is in the bowl and what is planned where they are', () => {
    expect(choicesFor(lines, 'liver', { left_g: 60, skipped: new Set() })).toEqual([
      { food: 'heart', least_g: 610 },
      { food: 'liver', least_g: 0, most_g: 60 },
      { food: 'egg', least_g: 50 },
    ]);
  });
});

describe('the batch solved again', () => {
  const tables = tablesOf([foodOf('heart', 'heart', 100), foodOf('liver', 'liver', 100)]);
  const lots = [lotOf('a', 'heart', { mass_g: 1000 })];
  const larder = { ...emptyLarder, lots };
  const rest = {
    lines: lines.filter(({ food }) => food !== 'egg'),
    bad: 'liver',
    skipped: new Set<string>(),
  };

  function solved(packs: number): Proposal {
    const pulls = [pullOf('a', 'sunday', packs)];
    const given = { eaters: [eaterOf(700)], days: 1, pulls, batch: 'this' };
    const ask = insteadAskOf(proposingOf(tables, lots, given), rest);
    if (ask === null) throw new Error('nothing to ask');
    return work({ what: 'resolve', ...ask }) as Proposal;
  }

  it('puts in of another food what the bad one was to give', () => {
    expect(insteadOf(solved(0), larder, rest)).toEqual({
      lines: [{ food: 'heart', mass_g: 710 }],
      changes: [
        { food: 'heart', before_g: 600, mass_g: 710, isFrozen: true },
        { food: 'liver', before_g: 100, mass_g: 0, isFrozen: false },
      ],
      missed: [],
    });
  });

  it('counts on nothing that was left out at the counter', () => {
    const kidney = { food: 'kidney', planned_g: 100, in_bowl_g: 0, is_done: false };
    const left = { ...rest, lines: [...rest.lines, kidney], skipped: new Set(['kidney']) };
    const more = tablesOf(['heart', 'liver', 'kidney'].map((key) => foodOf(key, 'heart', 100)));
    const there = [...lots, lotOf('k', 'kidney', { mass_g: 500 })];
    const ask = insteadAskOf(proposingOf(more, there, { eaters: [eaterOf(700)], days: 1 }), left);
    if (ask === null) throw new Error('nothing to ask');
    const found = work({ what: 'resolve', ...ask }) as Proposal;
    expect(found.lines.map(({ food }) => food)).not.toContain('kidney');
    // Heart gives what neither of the two does: 810 kcal in all.
    const { changes } = insteadOf(found, { ...emptyLarder, lots: there }, left);
    expect(changes.map(({ food, mass_g }) => [food, mass_g])).toEqual([['heart', 810], ['liver', 0]]); // prettier-ignore
  });

  it('takes nothing that another batch was promised', () => {
    const { lines: after, missed } = insteadOf(solved(2), larder, rest);
    expect(after).toEqual([{ food: 'heart', mass_g: 600 }]);
    expect(missed[0]).toContain('610 of the 710 kcal');
  });
});
