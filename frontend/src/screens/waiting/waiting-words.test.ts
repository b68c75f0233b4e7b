import { describe, expect, it } from 'vitest';
import type { Entry } from '../../db/store.svelte';
import type { Speech } from './value-words';
import { detailOf, entryTitle, standing, waitingRows } from './waiting-words';

const METRIC: Speech = { units: 'metric', today: '2026-11-25', zone: 'Europe/London' };
const US: Speech = { ...METRIC, units: 'us' };
const NAMES: Record<string, string> = { m: 'Breakfast', d: 'Morag', 'usda-05027': 'Duck frames' };

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
    poison: false,
    refusal: null,
    set: {},
    naming: (rid) => NAMES[rid] ?? null,
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
      METRIC,
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
        METRIC,
      ),
    ).toBe('Morag: appetite: slow');
    expect(entryTitle(entry({ verb: 'deleted' }), METRIC)).toBe('Weighing taken away: Morag');
    expect(
      entryTitle(
        entry({ entity: 'dog', kind: 'dog', verb: 'changed', set: { breed: 'x' } }),
        METRIC,
      ),
    ).toBe('Morag: dog changed');
    expect(entryTitle(entry({ entity: 'lot', kind: 'lot', subject: null }), US)).toBe('Lot');
  });

  function saying(changes: Partial<Entry>): Entry {
    const set = changes.set ?? {};
    const details = Object.keys(set).map((register) => ({ register, label: register, value: '' }));
    return entry({ ...changes, details });
  }

  it('tells nothing twice: what the title says is not said again below it', () => {
    const weighing = saying({ set: { mass_g: 16_400, at: '1970-01-01T00:00:00Z' } });
    expect(entryTitle(weighing, METRIC)).toBe('Morag: 16.4 kg');
    expect(detailOf(weighing, METRIC)).toBeUndefined();
    const serving = saying({
      entity: 'serving',
      kind: 'serving',
      subject: 'Breakfast, Morag',
      set: { meal: 'm', dog: 'd', offered_g: 240, note: 'slow' },
    });
    expect(entryTitle(serving, METRIC)).toBe('Breakfast, Morag: 240 g');
    expect(detailOf(serving, METRIC)).toBe('Note slow');
  });

  it('says a mass in the units of the reader, and a time other than the typing', () => {
    const weighing = saying({ set: { mass_g: 16_400, at: '2026-11-24T06:30:00Z', note: 'vet' } });
    expect(entryTitle(weighing, US)).toBe('Morag: 36.2 lb');
    expect(detailOf(weighing, US)).toBe('Weighed at yesterday 06:30, note vet');
  });

  it('names the food that moved or was counted', () => {
    const moved = saying({
      entity: 'movement',
      kind: 'movement',
      subject: 'Duck frames',
      set: { what: 'thawed', mass_g: 900 },
    });
    expect(entryTitle(moved, METRIC)).toBe('Duck frames: pulled from the freezer, 900 g');
    const counted = saying({
      entity: 'count',
      kind: 'count',
      subject: 'Duck frames',
      set: { counted_g: 1200, knew: ['a', 'b'] },
    });
    expect(entryTitle(counted, METRIC)).toBe('Duck frames: counted 1200 g');
    expect(detailOf(counted, METRIC)).toBeUndefined();
    expect(
      entryTitle(
        saying({ entity: 'movement', verb: 'deleted', subject: 'Duck frames', kind: 'movement' }),
        METRIC,
      ),
    ).toBe('Movement taken away: Duck frames');
  });

  it('has words for a kind of entry this app does not know', () => {
    const strange = saying({
      entity: 'collar_tag',
      kind: 'collar tag',
      subject: null,
      set: { hue: [1, 2] },
    });
    expect(entryTitle(strange, METRIC)).toBe('Collar tag');
    expect(detailOf(strange, METRIC)).toBe('Hue [1,2]');
    expect(standing(strange)).toBe('A kind of entry this app does not know yet');
  });

  it('says how it stands with one that failed alone, waits for another, or is on its way', () => {
    expect(standing(entry({ poison: true }))).toMatch(/server failed on this one/);
    expect(standing(entry({ state: 'wait', waits: true }))).toMatch(/entry it belongs to/);
    expect(standing(entry({ state: 'sent' }))).toMatch(/no answer/);
    expect(standing(entry({}))).toBeUndefined();
  });
});
