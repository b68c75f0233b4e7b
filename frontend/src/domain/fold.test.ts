import { expect, test } from 'vitest';
import vectors from '../../../fixtures/vectors/fold.json' with { type: 'json' };
import { fold, type Folded, type FoldOp } from './fold.ts';

interface Case {
  name: string;
  base: Folded | null;
  ops: FoldOp[];
  has_live_children: boolean;
  expected_row: Folded;
}

const cases = vectors.cases as unknown as Case[];

test('there are vectors', () => {
  expect(cases.length).toBeGreaterThan(10);
});

test.each(cases)('as the server folds: $name', (each) => {
  expect(fold(each.base, each.ops, each.has_live_children)).toEqual(each.expected_row);
});

test.each(cases)('in any order, repeated: $name', (each) => {
  const shuffled = [...each.ops].reverse();
  const row = fold(each.base, [...shuffled, ...each.ops], each.has_live_children);
  expect(row).toEqual(each.expected_row);
});
