import { describe, expect, test } from 'vitest';
import vectors from '../../../fixtures/vectors/nutrition.json' with { type: 'json' };
import { judge, judgePerKg075, judgeWindow, notCompared, targets, withDoubt } from './adequacy.ts';
import {
  calciumToPhosphorus,
  combined,
  foodFromLabel,
  scaled,
  totals,
  type Label,
  type LabelStyle,
  type Totals,
} from './composition.ts';
import { contributions } from './contributions.ts';
import { requirement, type DogFacts } from './energy.ts';
import { excesses } from './excess.ts';
import { atwater, fourStep, modifiedAtwater, type WholeAnalysis } from './food-energy.ts';
import { doseFor } from './hazards.ts';
import { InputError } from './input-error.ts';
import { needFunctions } from './needs.vectors.ts';
import { ownTargets, type OwnIntake } from './own-targets.ts';
import { shareOut } from './portions.ts';
import { judgeRatios } from './ratios.ts';
import { rotation, type Fed, type FeedingStyle } from './rotation.ts';
import type { FoodRow, Stage, Tables } from './tables.ts';

type Named = { style: LabelStyle; label: Label };
interface Meal {
  portions: [string | Named, number][];
  share: number;
}
interface Aim extends Meal {
  edition: string;
  stage: Stage;
  meals: Meal[];
  metabolic_mass_kg075: number;
  days: number;
  known_share: number;
  nutrient: string;
}
interface Days {
  first: string;
  last: string;
  fed: { day: string; style: FeedingStyle; portions: Meal['portions'] }[];
}
interface Sharing {
  eaters: [string, number, number, number][];
  energy_kcal: number;
  yield_g: number;
  step_g: number;
}
interface Case {
  name: string;
  function: keyof typeof FUNCTIONS;
  given: never;
  expected?: unknown;
  refused?: string[];
}

const tables = vectors.tables as unknown as Tables;
const cases = vectors.cases as unknown as Case[];
const foods = new Map(tables.foods.map((food) => [food.key, food]));

function foodOf(given: string | Named): FoodRow {
  if (typeof given !== 'string') {
    return foodFromLabel(tables, given.label, { key: 'own', name: 'Own food', style: given.style });
  }
  const found = foods.get(given);
  if (!found) throw new Error(`no food ${given}`);
  return found;
}

const portionsOf = ({ portions }: Pick<Meal, 'portions'>) =>
  portions.map(([food, mass_g]) => [foodOf(food), mass_g] as const);
const totalsOf = (meal: Meal): Totals => totals(tables, portionsOf(meal));
const mealsOf = ({ meals }: Aim) => meals.map((meal) => scaled(tables, totalsOf(meal), meal.share));
const targetsOf = ({ edition, stage }: Aim) => targets(tables, edition, stage);

const FUNCTIONS = {
  totals: totalsOf,
  calcium_to_phosphorus: (given: Meal) => calciumToPhosphorus(totalsOf(given)),
  combined: (given: Aim) => combined(tables, mealsOf(given)),
  food_from_label: foodOf,
  food_energy: (given: WholeAnalysis) => ({
    four_step: fourStep(tables.energy, given),
    atwater: atwater(tables.energy, given),
    modified_atwater: modifiedAtwater(tables.energy, given),
  }),
  requirement: (given: DogFacts) => requirement(tables.energy, given),
  judge: (given: Aim) => judge(totalsOf(given), targetsOf(given)),
  judge_window: (given: Aim) => judgeWindow(tables, mealsOf(given), targetsOf(given)),
  judge_per_kg075: (given: Aim) => judgePerKg075(totalsOf(given), targetsOf(given), given),
  judge_doubted: (given: Aim) =>
    judge(totalsOf(given), targetsOf(given)).map((each) => withDoubt(each, given.known_share)),
  not_compared: (given: Aim) => notCompared(totalsOf(given), targetsOf(given)),
  judge_ratios: (given: Aim) => judgeRatios(tables, totalsOf(given), targetsOf(given)),
  excesses: (given: Aim) => excesses(tables, totalsOf(given), targetsOf(given)),
  contributions: (given: Aim) => contributions(tables, portionsOf(given), given.nutrient),
  share_out: ({ eaters, ...batch }: Sharing) =>
    shareOut(
      eaters.map(([key, energy_kcal_per_day, meals_per_day, share]) => ({
        key,
        energy_kcal_per_day,
        meals_per_day,
        share,
      })),
      batch,
    ),
  ...needFunctions(tables),
  dose_for: ({ hazard, mass_kg }: { hazard: string; mass_kg: number }) => {
    const found = tables.hazards.find(({ key }) => key === hazard);
    if (!found) throw new Error(`no hazard ${hazard}`);
    return doseFor(found, mass_kg);
  },
  own_targets: (given: Aim & { dog: DogFacts | null; eats: OwnIntake }) =>
    ownTargets(
      tables,
      targetsOf(given),
      given.dog === null ? null : requirement(tables.energy, given.dog),
      given.eats,
    ),
  rotation: ({ fed, ...span }: Days) =>
    rotation(
      tables,
      fed.map((each): Fed => ({ ...each, portions: portionsOf(each) })),
      span,
    ),
};

/** Where two JSON values differ: numbers may by the relative tolerance, all else not at all. */
function difference(actual: unknown, expected: unknown, path: string): string | null {
  if (typeof actual === 'number' && typeof expected === 'number') {
    const close = Math.abs(actual - expected) <= vectors.tolerance * Math.abs(expected);
    return close || actual === expected ? null : `${path}: ${actual} is not ${expected}`;
  }
  if (actual && expected && typeof actual === 'object' && typeof expected === 'object') {
    const [a, e] = [actual as Record<string, unknown>, expected as Record<string, unknown>];
    const keys = [...new Set([...Object.keys(a), ...Object.keys(e)])];
    for (const key of keys) {
      if (!(key in a) || !(key in e)) return `${path}.${key}: only on one side`;
      const found = difference(a[key], e[key], `${path}.${key}`);
      if (found) return found;
    }
    return null;
  }
  return Object.is(actual, expected)
    ? null
    : `${path}: ${String(actual)} is not ${String(expected)}`;
}

function run(each: Case): unknown {
  const work = FUNCTIONS[each.function] as (given: never) => unknown;
  return work(each.given);
}

function refusal(each: Case): readonly string[] {
  try {
    run(each);
  } catch (error) {
    if (error instanceof InputError) return error.fields;
    throw error;
  }
  return ['nothing was refused'];
}

test('there are vectors for every function', () => {
  expect(cases.length).toBeGreaterThanOrEqual(200);
  expect(new Set(cases.map((each) => each.function))).toEqual(new Set(Object.keys(FUNCTIONS)));
});

describe('as the server works it out', () => {
  test.each(cases.filter((each) => !each.refused))('$function: $name', (each) => {
    expect(difference(run(each), each.expected, '')).toBeNull();
  });
});

describe('refused as the server refuses it', () => {
  test.each(cases.filter((each) => each.refused))('$function: $name', (each) => {
    expect(refusal(each)).toEqual(each.refused);
  });
});

test('a difference of more than the tolerance is seen', () => {
  expect(difference({ a: [1, 2.00001] }, { a: [1, 2] }, '')).toContain('.a.1');
  expect(difference({ a: null }, { a: 0 }, '')).toContain('.a');
  expect(difference({}, { a: 0 }, '')).toContain('only on one side');
});
