import { describe, expect, it } from 'vitest';
import vectors from '../../../fixtures/vectors/rota.json' with { type: 'json' };
import { turnsBetween } from './rota.ts';

describe('a rota', () => {
  it.each(vectors.cases)('falls on the same days as in Python: $name', (each) => {
    expect(turnsBetween(each.rota, each.first, each.last)).toEqual(each.turns);
  });
});
