import { describe, expect, it } from 'vitest';
import type { Entry } from '../../db/store.svelte';
import { entryTitle, waitingRows } from './waiting-words';

function entry(changes: Partial<Entry>): Entry {
  return {
    op_id: `op-${changes.rid ?? ''}-${changes.entity ?? ''}`,
    rid: 'r',
    entity: 'weighing',
    kind: 'weighing',
    verb: 'added',
    subject: 'Morag',
    details: [],
    occurred_at: 0,
    author: 'ines',
    state: 'pending',
    held: false,
    waits: false,
    surprise: false,
    refusal: null,
    set: {},
    ...changes,
  };
}

describe('what waits, in words', () => {
  it('puts a meal and its dogs on one line', () => {
    const rows = waitingRows(
      [
        entry({
          rid: 'm',
          entity: 'meal',
          kind: 'meal',
          subject: null,
          set: { name: 'Breakfast' },
        }),
        entry({
          rid: 's1',
          entity: 'serving',
          kind: 'serving',
          set: { meal: 'm', offered_g: 190 },
        }),
        entry({
          rid: 's2',
          entity: 'serving',
          kind: 'serving',
          set: { meal: 'm', offered_g: 240 },
        }),
        entry({
          rid: 'x',
          entity: 'movement',
          kind: 'movement',
          subject: null,
          set: { serving: 's2', mass_g: 240, what: 'used' },
        }),
        entry({ rid: 'w', set: { mass_g: 17_400 } }),
      ],
      'metric',
    );
    expect(rows.map((row) => row.title)).toEqual(['Breakfast, two dogs', 'Morag: 17.4 kg']);
  });

  it('says what was seen, what was changed and what was taken away', () => {
    expect(
      entryTitle(
        entry({
          entity: 'observation',
          kind: 'observation',
          set: { topic: 'appetite', word: 'slow' },
        }),
        'metric',
      ),
    ).toBe('Morag: appetite: slow');
    expect(entryTitle(entry({ verb: 'deleted' }), 'metric')).toBe('Weighing taken away: Morag');
    expect(
      entryTitle(
        entry({ entity: 'dog', kind: 'dog', verb: 'changed', set: { breed: 'x' } }),
        'metric',
      ),
    ).toBe('Morag: dog changed');
    expect(entryTitle(entry({ entity: 'lot', kind: 'lot', subject: null }), 'us')).toBe('Lot');
  });
});
