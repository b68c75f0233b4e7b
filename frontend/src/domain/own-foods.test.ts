import { describe, expect, test } from 'vitest';
import vectors from '../../../fixtures/vectors/labels.json' with { type: 'json' };
import type { CopyTables } from './copies.ts';
import { InputError } from './input-error.ts';
import type { Food } from './kinds.ts';
import { labelEnergies, type LabelStyle } from './label-energy.ts';
import { linePer100g, type LabelLine, type ServingSize } from './label-lines.ts';
import { analysisOf, asFed, type Label } from './labels.ts';
import { composed } from './own-foods.ts';

const tables = vectors.tables as unknown as CopyTables;

interface Energies {
  style: LabelStyle;
  label: Label;
  printed_kcal?: number;
}
interface Line {
  line: LabelLine;
  serving?: ServingSize;
  dry_matter_share?: number;
}

function energies({ style, label, printed_kcal }: Energies) {
  const whole = { ...label, energy_kcal_per_100g: printed_kcal ?? null };
  const analysis = analysisOf(tables.energy, asFed(tables.energy, whole, style), style);
  return labelEnergies(tables.energy, analysis, { printed_kcal: printed_kcal ?? null, style });
}

const FUNCTIONS = {
  label_line: ({ line, serving, dry_matter_share }: Line) =>
    linePer100g(tables, line, {
      serving: serving ?? null,
      dry_matter_share: dry_matter_share ?? null,
    }),
  label_energies: energies,
  own_food: (food: Food) => composed(tables, food, 'own'),
};

interface Case {
  name: string;
  function: keyof typeof FUNCTIONS;
  given: never;
  expected?: unknown;
  refused?: string[];
}
const cases = vectors.cases as unknown as Case[];

/** Where two JSON values differ: numbers may by the relative tolerance, all else not at all. */
function difference(actual: unknown, expected: unknown, path: string): string | null {
  if (typeof actual === 'number' && typeof expected === 'number') {
    const close = Math.abs(actual - expected) <= vectors.tolerance * Math.abs(expected);
    return close ? null : `${path}: ${actual} is not ${expected}`;
  }
  if (actual && expected && typeof actual === 'object' && typeof expected === 'object') {
    const [a, e] = [actual as Record<string, unknown>, expected as Record<string, unknown>];
    for (const key of new Set([...Object.keys(a), ...Object.keys(e)])) {
      if (!(key in a) || !(key in e)) return `${path}.${key}: only on one side`;
      const found = difference(a[key], e[key], `${path}.${key}`);
      if (found) return found;
    }
    return null;
  }
  return actual === expected ? null : `${path}: ${String(actual)} is not ${String(expected)}`;
}

function refusal(each: Case): readonly string[] {
  try {
    (FUNCTIONS[each.function] as (given: never) => unknown)(each.given);
  } catch (error) {
    if (error instanceof InputError) return error.fields;
    throw error;
  }
  return ['was not refused'];
}

describe('own foods agree with the server', () => {
  test.each(cases.map((each) => [`${each.function}: ${each.name}`, each] as const))(
    '%s',
    (_, each) => {
      if (each.refused) expect(refusal(each)).toEqual(each.refused);
      else {
        const made = (FUNCTIONS[each.function] as (given: never) => unknown)(each.given);
        expect(difference(made, each.expected, 'result')).toBeNull();
      }
    },
  );

  test('every function has cases, and some are refused', () => {
    expect(new Set(cases.map((each) => each.function)).size).toBe(3);
    expect(cases.filter((each) => each.refused).length).toBeGreaterThanOrEqual(12);
  });
});
