import { describe, expect, it } from 'vitest';
import type { Rec } from '../../db/store.svelte';
import type { Entity, Values } from '../../domain/kinds';
import { intakeOf } from './balance';
import { vetLetter } from './vet-letter';

function rec<E extends Entity>(entity: E, values: Values[E]): Rec<E> {
  return {
    rid: 'r',
    entity,
    owner: null,
    values,
    made_at: 0,
    made_by: null,
    op_at: 0,
    op_by: '',
    gone: false,
    flags: [],
    pending: false,
    also: {},
    seen: {},
  };
}

describe('the letter for the vet', () => {
  it('holds what was written down, with units and ranges, and leaves out what was not', () => {
    const letter = vetLetter({
      dog: rec('dog', { name: 'Morag', sex: 'female', neutered: true, vet_notes: 'Sore hip' }),
      today: '2026-10-14',
      zone: 'Pacific/Auckland',
      days: 14,
      units: 'metric',
      intake: intakeOf([]),
      need: null,
      rows: [
        {
          nutrient: 'zinc',
          name: 'Zinc',
          word: 'short',
          reading: { known: 12, best: 13.5, minimum: 15, maximum: null },
          unit: 'mg',
          decimals: 1,
          scale: 1,
          sources: [],
        },
      ],
      ate: [],
      weighings: [rec('weighing', { dog: 'r', at: '2026-10-12T19:00:00Z', mass_g: 17_400 })],
      seen: [],
    });
    expect(letter).toContain('Morag: spayed');
    expect(letter).toContain('Notes: Sore hip');
    expect(letter).toContain('2026-10-13  17.4 kg');
    expect(letter).toContain('Zinc: 12 mg, 13.5 at best; wants 15 mg or more (short)');
    expect(letter).toContain('Energy eaten: not known');
    expect(letter).not.toContain('Seen');
    expect(letter).toContain('Nothing here is a diagnosis');
  });
});
