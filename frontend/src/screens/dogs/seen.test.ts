import { describe, expect, it } from 'vitest';
import type { Rec } from '../../db/store.svelte';
import type { Entity, Values } from '../../domain/kinds';
import { seenRows } from './seen';

function rec<E extends Entity>(entity: E, rid: string, values: Values[E]): Rec<E> {
  return {
    rid,
    entity,
    owner: null,
    values,
    made_at: 0,
    made_by: 'callum',
    op_at: 0,
    op_by: 'callum',
    gone: false,
    flags: [],
    pending: false,
    also: {},
    seen: {},
  };
}

describe('the timeline of a dog', () => {
  const reading = {
    dog: 'morag',
    today: '2026-10-14',
    zone: 'Europe/London',
    units: 'metric' as const,
    mealtimes: [],
  };
  const meal = rec('meal', 'm', { name: 'Supper', day: '2026-10-12', at: '2026-10-12T16:40:00Z' });
  const rows = seenRows(
    {
      weighings: [
        rec('weighing', 'w', { dog: 'morag', at: '2026-10-13T07:00:00Z', mass_g: 17_400 }),
      ],
      conditions: [
        rec('condition', 'c', { dog: 'morag', at: '2026-10-06T07:00:00Z', bcs: 4, mcs: 'mild' }),
      ],
      observations: [
        rec('observation', 'o', {
          dog: 'morag',
          at: '2026-10-14T07:10:00Z',
          topic: 'stool',
          word: 'soft_shaped',
        }),
      ],
      meals: [
        {
          meal,
          servings: [
            rec('serving', 's', {
              meal: 'm',
              dog: 'morag',
              what: { food: 'f' },
              offered_g: 190,
              left: { g: 60 },
              appetite: 'picked',
            }),
            rec('serving', 't', { meal: 'm', dog: 'tansy', what: { food: 'f' }, offered_g: 155 }),
          ],
        },
      ],
    },
    reading,
  );

  it('is newest first, in words, with day, time and author, and holds no other dog', () => {
    expect(rows.map((row) => [row.day, row.time, row.title, row.detail, row.by])).toEqual([
      ['today', '08:10', 'Stool: soft, shaped', undefined, 'callum'],
      ['yesterday', '08:00', 'Weight: 17.4 kg', undefined, 'callum'],
      ['Mon', '17:40', 'Appetite: picked', 'Left 60 g of 190 g', 'callum'],
      ['6 Oct', '08:00', 'Condition: 4 of 9, muscle mild loss', undefined, 'callum'],
    ]);
  });

  it('says where the time is doubtful', () => {
    const weighing = rec('weighing', 'w', {
      dog: 'morag',
      at: '2026-10-13T07:00:00Z',
      mass_g: 17_400,
    });
    const [row] = seenRows(
      {
        weighings: [{ ...weighing, flags: ['clock_ahead'] }],
        conditions: [],
        observations: [],
        meals: [],
      },
      reading,
    );
    expect(row?.detail).toContain('clock of that phone was ahead');
  });
});
