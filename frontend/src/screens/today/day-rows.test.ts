import { describe, expect, it } from 'vitest';
import type { Rec } from '../../db/store.svelte';
import type { Duty } from '../../domain/kinds';
import type { Due } from '../duties/due';
import { byClock, dutyRows, dutyTitle } from './day-rows';

function duty(rid: string, values: Partial<Duty>): Due {
  return { rid, values: { what: 'pull', ...values }, rec: null, rota: null };
}

const moment = { day: '2026-10-14', today: '2026-10-14', zone: 'Europe/London', travels: [] };

describe('what else the day holds', () => {
  it('lists what is due today, what is late, and what has no day, but not what is done', () => {
    const rows = dutyRows(
      [
        duty('a', { title: 'Pull duck frames', due_at: '2026-10-14T07:00:00Z' }),
        duty('b', { title: 'Weigh', due_at: '2026-10-12T07:00:00Z' }),
        duty('c', { title: 'Shop' }),
        duty('d', { title: 'Later', due_at: '2026-10-15T07:00:00Z' }),
        duty('e', { title: 'Done', due_at: '2026-10-14T07:00:00Z', done: { at: 'x', by: 'y' } }),
        duty('f', { what: 'feed', due_at: '2026-10-14T07:00:00Z' }),
      ],
      moment,
      () => null,
    );
    expect(byClock(rows).map((row) => [row.over, row.time, row.title])).toEqual([
      ['any time', '', 'Shop'],
      ['since Mon', '', 'Weigh'],
      ['by', '08:00', 'Pull duck frames'],
    ]);
  });

  it('marks raw duties of days of travelling, and hides none', () => {
    const days = { first: '2026-10-14', last: '2026-10-15' };
    const travels = [{ rid: 't', values: { days, food: 'biscuit' } }] as unknown as Rec<'travel'>[];
    const rows = dutyRows(
      [
        duty('a', { title: 'Pull', due_at: '2026-10-14T07:00:00Z' }),
        duty('b', { what: 'shop', title: 'Shop', due_at: '2026-10-14T08:00:00Z' }),
        duty('c', { what: 'grind', title: 'Grind', due_at: '2026-10-13T08:00:00Z' }),
      ],
      { ...moment, travels },
      () => null,
    );
    expect(rows.map((row) => [row.title, row.detail])).toEqual([
      ['Pull', 'You travel then, on dry food'],
      ['Shop', undefined],
      ['Grind', undefined],
    ]);
  });

  it('names a duty without a title by what it is and for whom', () => {
    expect(dutyTitle({ what: 'weigh' }, 'Morag')).toBe('Weigh: Morag');
    expect(dutyTitle({ what: 'ring_vet' }, null)).toBe('Ring the vet');
  });
});
