import { describe, expect, it } from 'vitest';
import type { Rec } from '../../db/store.svelte';
import type { Entity, Values } from '../../domain/kinds';
import { intakeOf } from './balance';
import { vetLetter, type LetterInput } from './vet-letter';

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

const input: LetterInput = {
  dog: rec('dog', { name: 'Morag', sex: 'female', neutered: true, vet_notes: 'Sore hip' }),
  today: '2026-10-14',
  zone: 'Pacific/Auckland',
  days: 14,
  until: '2026-10-13',
  units: 'metric',
  intake: intakeOf([]),
  need: null,
  yardstick: ['Per 1000 kcal, for Morag. FEDIAF 2021.', 'Morag is counted with 75 kcal.'],
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
};

describe('the letter for the vet', () => {
  it('holds what was written down, with units and ranges, and leaves out what was not', () => {
    const letter = vetLetter(input);
    expect(letter).toContain('Morag: spayed');
    expect(letter).toContain('Notes: Sore hip');
    expect(letter).toContain('2026-10-13  17.4 kg');
    expect(letter).toContain('Zinc: 12 mg, 13.5 at best; wants 15 mg or more (short)');
    expect(letter).toContain('Energy eaten: not known');
    expect(letter).not.toContain('Seen');
    expect(letter).toContain('14 days up to 2026-10-13. Nothing here is a diagnosis');
  });

  it('names the yardstick of the household, and that figures are the dog’s own', () => {
    const letter = vetLetter(input);
    expect(letter).toContain(
      'Nutrients eaten\nPer 1000 kcal, for Morag. FEDIAF 2021.\nMorag is counted with 75 kcal.\nZinc',
    );
    expect(letter).not.toContain('NRC');
    expect(vetLetter({ ...input, rows: [] })).not.toContain('FEDIAF');
  });

  it('counts one meal and one day as one', () => {
    const ate = [{ kind: 'dry', meals: 1, title: 'Dry food', detail: 'kibble' }] as const;
    const letter = vetLetter({ ...input, ate, intake: { ...input.intake, days: 1 } });
    expect(letter).toContain('over 1 day written down');
    expect(letter).toContain('1 meal: dry food (kibble)');
  });
});
