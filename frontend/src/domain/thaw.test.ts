import { describe, expect, test } from 'vitest';
import vectors from '../../../fixtures/vectors/thaw.json' with { type: 'json' };
import { InputError } from './input-error.ts';
import {
  coldWaterHours,
  inFridge,
  pullWindow,
  refreezing,
  refusal,
  type ThawTime,
} from './thaw.ts';
import { partsOf, type ThawTables } from './thermal.ts';

const tables = vectors.tables as unknown as ThawTables;

interface FridgeCase {
  mass_g: number;
  form: string;
  thickness_mm?: number | null;
  fridge_c: number;
  freezer_c?: number;
  per_100g?: Record<string, number | null>;
}
interface Refreezing {
  way: string;
  is_still_good: boolean;
  is_cooked_since: boolean;
}

const FUNCTIONS: Record<string, (given: never) => unknown> = {
  in_fridge: ({ mass_g, form, thickness_mm = null, fridge_c, freezer_c, per_100g }: FridgeCase) => {
    const parts = per_100g ? partsOf(per_100g) : null;
    return inFridge(tables, { mass_g, form, thickness_mm, parts }, fridge_c, freezer_c);
  },
  cold_water: ({ mass_g }: { mass_g: number }) => coldWaterHours(tables, mass_g),
  refusal: ({ way }: { way: string }) => refusal(tables, way),
  may_be_refrozen: ({ way, is_still_good, is_cooked_since }: Refreezing) =>
    refreezing(way, is_still_good, is_cooked_since) === null,
};

interface Case {
  function: string;
  given: never;
  expected?: unknown;
  refused?: string[];
}
const cases = vectors.cases as unknown as Case[];

function near(expected: unknown): unknown {
  if (typeof expected === 'number') return expect.closeTo(expected, 9) as unknown;
  if (Array.isArray(expected)) return expected.map(near);
  if (expected && typeof expected === 'object')
    return Object.fromEntries(Object.entries(expected).map(([key, each]) => [key, near(each)]));
  return expected;
}

describe('thawing agrees with the server', () => {
  test.each(cases.map((each) => [`${each.function} ${JSON.stringify(each.given)}`, each] as const))(
    '%s',
    (_, each) => {
      const work = FUNCTIONS[each.function];
      if (!work) throw new Error(`no function ${each.function}`);
      if (each.refused) {
        expect(() => work(each.given)).toThrow(InputError);
        return;
      }
      expect(work(each.given)).toEqual(near(each.expected));
    },
  );
});

test('the window closes where it would be frozen and opens where it would still be good', () => {
  const time = { plan_hours: 24, low_hours: 6, rule_low_hours: 24 } as ThawTime;
  const hour = 3_600_000;
  const window = pullWindow(100 * hour, time, 1);
  expect(window).toEqual({ earliest: 70 * hour, latest: 76 * hour, is_too_thick: false });
  expect(pullWindow(100 * hour, time, null).earliest).toBeNull();
  const thick = { ...time, plan_hours: 70 };
  expect(pullWindow(100 * hour, thick, 1).is_too_thick).toBe(true);
});
