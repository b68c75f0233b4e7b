import { describe, expect, test } from 'vitest';
import vectors from '../../../fixtures/vectors/search.json' with { type: 'json' };
import { indexOf, isOneSlip, search, wordsOf } from './search.ts';

const index = indexOf(
  vectors.entries.map((entry) => ({ ...entry, is_in_store: entry.is_in_store })),
);

describe('search finds the same as the server, in the same order', () => {
  test.each(vectors.cases.map((each) => [each.typed, each.found] as const))(
    '“%s”',
    (typed, found) => {
      expect(search(index, typed).map(({ entry, how }) => [entry.key, how])).toEqual(found);
    },
  );
});

test('words lose accents, capitals and the plural', () => {
  expect(wordsOf('Pâté, Hearts and Berries')).toEqual(['pate', 'heart', 'and', 'berry']);
  expect(wordsOf('gas, grass, bœuf, potatoes, carcasses')).toEqual([
    'gas',
    'grass',
    'boeuf',
    'potato',
    'carcass',
  ]);
});

test('one letter may be missing, added, wrong or swapped with its neighbour', () => {
  for (const typed of ['paunh', 'pauunch', 'pounch', 'paunhc']) {
    expect(isOneSlip(typed, 'paunch')).toBe(true);
  }
  expect(isOneSlip('pnch', 'paunch')).toBe(false);
});
