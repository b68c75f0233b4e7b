import { describe, expect, it } from 'vitest';
import type { Rec } from '../../db/store.svelte';
import { missedBy } from '../../domain/proposal-missed';
import type { Dog } from '../../domain/kinds';
import type { FoodRow, Tables } from '../../domain/tables';
import type { Eater } from './eaters';
import { kitchenOf, verdict } from './judged';
import { passedBy, type Passed } from './own-limits';
import { pressingMarks } from './pressing';
import { passedMisses, missedWords, stockMisses } from './proposal-words';
import { eaterOf, foodOf, proposingOf, tablesOf } from './proposing.examples';
import { problemOf } from './proposing';

// An invented kitchen: the shares and the fat can be worked out in the head.
const foods: FoodRow[] = [
  { ...foodOf('meat', 'red_meat', 200), v: { fat: 10 } },
  { ...foodOf('neck', 'bone_in', 200), bone_share: 0.4, v: { fat: 10 } },
  { ...foodOf('liver', 'liver', 200), v: { fat: 10 } },
  { ...foodOf('kidney', 'kidney', 200), v: { fat: 10 } },
  { ...foodOf('lard', 'fat', 800), low: { fat: 80 }, high: { fat: 100 } },
  { ...foodOf('quail', 'whole_prey', 200), v: { fat: 10 } },
  foodOf('stew', 'own', 200),
] as FoodRow[];
const origins = { liver: ['beef', 'liver'], kidney: ['beef', 'kidney'] } as const;
const tables = {
  ...tablesOf(foods, origins),
  nutrients: [{ key: 'fat', name: 'Fat', unit: 'g', decimals: 1, group: 'macronutrients' }],
} as unknown as Tables;
const kitchen = kitchenOf(tables, []);

function eaterWith(caps: Dog['caps']): Eater {
  return { ...eaterOf(800), caps: caps ?? null };
}

function passed(masses: Record<string, number>, ...caps: Dog['caps'][]): Passed[] {
  const portions = Object.entries(masses).map(([food, mass_g]) => ({ food, mass_g }));
  return passedBy(kitchen, portions, caps.map(eaterWith));
}

function words(masses: Record<string, number>, ...caps: Dog['caps'][]): string[] {
  return passedMisses(passed(masses, ...caps), kitchen.name).map(({ title }) => title);
}

describe('what a batch passes of a dog’s own limits', () => {
  it('is told of a plan made by hand in the words of a proposal', () => {
    const half = { neck: 500, meat: 500 };
    expect(words(half, { bone_pct: 14 })).toEqual([
      'It passes a limit of one dog: 20 % bone, the limit is 14 %.',
    ]);
    const bone = { key: 'bone', word: 'over' as const, amount: 0.2, limit: 0.14 };
    expect(missedWords([bone])).toEqual(words(half, { bone_pct: 14 }));
    expect(words({ liver: 100, kidney: 100, meat: 800 }, { liver_pct: 5, organ_pct: 12.5 })).toEqual([
      'It passes a limit of one dog: 10 % liver, the limit is 5 %.',
      'It passes a limit of one dog: 20 % organs, the limit is 12.5 %.',
    ]); // prettier-ignore
  });

  it('is what the proposal itself finds missed', () => {
    const dogs = [{ rid: 'morag', values: { caps: { bone_pct: 14, fat_g_per_1000_kcal: 30 } } }] as unknown as Rec<'dog'>[]; // prettier-ignore
    const masses = { neck: 500, meat: 500 };
    const choices = Object.entries(masses).map(([food, mass_g]) => ({ food, least_g: mass_g }));
    const problem = problemOf(proposingOf(tables, [], { eaters: [eaterOf(800)], days: 2, dogs, choices })); // prettier-ignore
    if (problem === null) throw new Error('no problem');
    const portions = problem.ingredients.map((food) => [food, 500] as const);
    const missed = missedBy(problem, portions).filter(({ key }) => key !== 'energy' && !key.startsWith('calcium')); // prettier-ignore
    const own = passed(masses, { bone_pct: 14, fat_g_per_1000_kcal: 30 });
    const figures = (all: readonly { key: string; amount: number | null; limit: number }[]) =>
      all.map(({ key, amount, limit }) => [key, amount, limit]).sort();
    expect(figures(own)).toEqual(figures(missed));
    expect(stockMisses(missed)).toEqual([]);
  });

  it('is the strictest of all dogs, and nothing while none has a limit', () => {
    const half = { neck: 500, meat: 500 };
    expect(passed(half, { bone_pct: 25 }, null, { bone_pct: 10 })).toMatchObject([{ limit: 0.1 }]);
    expect(passed(half, null, {})).toEqual([]);
    expect(passed(half, { bone_pct: 20 })).toEqual([]);
  });

  it('leaves alone what no scale would tell from the limit, and shows more as it is', () => {
    expect(words({ neck: 250, meat: 745 }, { bone_pct: 10 })).toEqual([]);
    expect(words({ neck: 260, meat: 740 }, { bone_pct: 10 })).toEqual([
      'It passes a limit of one dog: 10.4 % bone, the limit is 10 %.',
    ]);
    // None at all is none at all.
    expect(words({ liver: 1, meat: 999 }, { liver_pct: 0 })).toHaveLength(1);
  });

  it('says of fat whether it holds or may hold it', () => {
    // 50 g of fat in 1000 kcal of meat.
    expect(words({ meat: 500 }, { fat_g_per_1000_kcal: 30 })).toEqual([
      'It holds 50.0 g fat per 1000 kcal; the limit is 30.0 g.',
    ]);
    expect(words({ lard: 125 }, { fat_g_per_1000_kcal: 110 })).toEqual([
      'It may hold 125.0 g fat per 1000 kcal; the limit is 110.0 g.',
    ]);
  });

  it('takes nothing that is not known for nothing', () => {
    expect(words({ quail: 400, meat: 600 }, { bone_pct: 10 })).toEqual([
      'It may pass a limit of one dog: how much bone is in quail is not known. The limit is 10 %.',
    ]);
    // So little of it cannot matter.
    expect(words({ quail: 50, meat: 950 }, { bone_pct: 10 })).toEqual([]);
    expect(words({ stew: 400, meat: 600 }, { fat_g_per_1000_kcal: 60 })).toEqual([
      'It may pass a limit of one dog: how much fat is in stew is not known. The limit is 60.0 g per 1000 kcal.',
    ]);
    expect(passed({ nowhere: 500, liver: 500 }, { liver_pct: 60 })).toMatchObject([
      { key: 'liver', isSure: false, unknown: ['nowhere'] },
    ]);
    expect(passed({ nowhere: 500, liver: 500 }, { liver_pct: 40 })).toMatchObject([
      { key: 'liver', isSure: true, amount: 0.5 },
    ]);
  });
});

describe('the live line of the counter', () => {
  const row = { nutrient: 'zinc', name: 'Zinc', word: 'short' } as const;
  const rows = [row, { ...row, nutrient: 'iron', name: 'Iron' }] as never;

  it('has what is not for a dog and what passes its limit before the tables’ figures', () => {
    const limits = passed({ neck: 500, meat: 500 }, { bone_pct: 14 });
    const marks = pressingMarks({ rows, passed: limits }, []).map(({ label }) => label);
    expect(marks).toEqual(['Bone over a dog’s limit', 'Zinc short']);
    const barred = [{ food: 'neck', who: ['Morag'] }];
    const both = pressingMarks({ rows, passed: limits }, barred).map(({ label }) => label);
    expect(both).toEqual(['Not for Morag', 'Bone over a dog’s limit']);
    const perhaps = passed({ quail: 400, meat: 600 }, { bone_pct: 14 });
    expect(pressingMarks({ rows: [], passed: perhaps }, [])).toEqual([
      { key: 'limit bone', word: 'unknown', label: 'Bone may be over a dog’s limit' },
    ]);
  });

  it('goes by the verdict, which is of the whole batch', () => {
    const portions = [
      { food: 'neck', mass_g: 500 },
      { food: 'meat', mass_g: 500 },
    ];
    const judged = verdict(kitchen, portions, [eaterWith({ bone_pct: 14 })]);
    expect(judged.passed.map(({ key }) => key)).toEqual(['bone']);
  });
});
