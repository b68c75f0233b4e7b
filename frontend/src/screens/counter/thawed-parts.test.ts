import { expect, test } from 'vitest';
import vectors from '../../../../fixtures/vectors/thaw.json' with { type: 'json' };
import type { Rec } from '../../db/store.svelte';
import type { Tables } from '../../domain/tables';
import type { PullSetting } from '../plan/pulls-rows';
import { emptyLarder, type Larder, type Ledgered } from '../stores/larder';
import { stock, type MovementEntry } from '../stores/stock-list';
import { cappedBy, earliestPart, wasFrozen } from './thawed-parts';

// Days of the USDA's thawing advice (FSIS, The Big Thaw).
const keeping = [
  { class: 'organs', place: 'thawed', days_min: 1, days_max: 2, source: 'fsis' },
  { class: 'red_meat_pieces', place: 'thawed', days_min: 3, days_max: 5, source: 'fsis' },
];
const tables = {
  thaw: vectors.tables,
  keeping,
  sources: { fsis: { title: 'The Big Thaw', publisher: 'USDA FSIS', year: 2013 } },
  foods: [
    { key: 'liver', keeping_class: 'organs', v: { water: 70, fat: 4 } },
    { key: 'shin', keeping_class: 'red_meat_pieces', v: { water: 72, fat: 6 } },
  ],
} as unknown as Tables;
const MADE = '2026-11-28T16:00:00Z';

type Entry = MovementEntry & { batch?: string };

function lot(food: string, ...moves: Entry[]): Ledgered<'lot'> {
  const values = { food, pack_mass_g: 500, place: 'freezer', form: 'flat_bag', thickness_mm: 25 };
  const movements = moves.map(({ rid, ...given }) => ({ rid, values: given }));
  return {
    rec: { rid: food, entity: 'lot', values } as unknown as Rec<'lot'>,
    movements: movements as unknown as Rec<'movement'>[],
    counts: [],
    stock: stock(moves, []),
    stored_g: 0,
    first_at: null,
  };
}

function moved(what: MovementEntry['what'], mass_g: number, at: string, more = {}): Entry {
  return { rid: `${what} ${at}`, what, mass_g, at, ...more };
}

function setting(...lots: Ledgered<'lot'>[]): PullSetting & { larder: Larder } {
  return {
    tables,
    larder: { ...emptyLarder, lots },
    names: (food) => food,
    fridge_c: 4,
    today: '2026-11-28',
    zone: 'Europe/London',
    units: 'metric',
  };
}

const used = (mass_g: number, batch = 'b') => moved('used', mass_g, MADE, { batch });

test('the part that keeps least since it thawed sets the end', () => {
  const found = earliestPart(
    'b',
    setting(
      lot('shin', moved('thawed', 500, '2026-11-26T15:00:00Z'), used(500)),
      lot('liver', moved('thawed', 500, '2026-11-26T15:00:00Z'), used(200)),
    ),
  );
  expect(found?.title).toBe('liver');
  // Two days from when it can first have thawed, some hours after three in the afternoon.
  const days = ((found?.at_latest ?? 0) - Date.parse('2026-11-26T15:00:00Z')) / 86_400_000;
  expect(days).toBeGreaterThan(2);
  expect(days).toBeLessThan(2.5);
});

test('of the packs of one lot only those count that went in, the oldest first', () => {
  const old = moved('thawed', 500, '2026-11-26T15:00:00Z');
  const late = moved('thawed', 500, '2026-11-27T15:00:00Z');
  const eaten = moved('used', 500, '2026-11-27T18:00:00Z', { batch: 'other' });
  const both = earliestPart('b', setting(lot('liver', old, late, used(400))));
  const second = earliestPart('b', setting(lot('liver', old, late, eaten, used(400))));
  expect((second?.at_latest ?? 0) - (both?.at_latest ?? 0)).toBe(86_400_000);
});

test('what never was frozen, or thaws after the batch was made, sets no end', () => {
  const fresh = lot('liver', moved('stored', 500, '2026-11-28T08:00:00Z'), used(500));
  const later = lot('shin', used(500), moved('thawed', 500, '2026-11-28T18:00:00Z'));
  expect(earliestPart('b', setting(fresh, later))).toBeNull();
  expect(earliestPart('nobody’s', setting(fresh))).toBeNull();
});

test('a batch keeps no longer than its part, and no longer than mixed food does', () => {
  const by = { day: '2026-11-29', atLatest: '2026-11-30', class: 'ground_meat', source: 'fsis' };
  const end = (at: string) => ({ title: 'liver', at_latest: Date.parse(at) });
  const zone = 'Europe/London';
  expect(cappedBy(by, end('2026-11-28T19:30:00Z'), zone)).toMatchObject({
    day: '2026-11-28',
    atLatest: '2026-11-28',
  });
  expect(cappedBy(by, end('2026-11-30T10:00:00Z'), zone)).toEqual(by);
  expect(cappedBy(by, null, zone)).toEqual(by);
  expect(cappedBy(null, end('2026-11-28T19:30:00Z'), zone)).toBeNull();
});

test('what lay in the freezer had been frozen, though nobody wrote down since when', () => {
  const thrown = moved('discarded', 500, MADE, { batch: 'b' });
  expect(wasFrozen('b', { lots: [lot('shin', used(500))] })).toBe(true);
  expect(wasFrozen('b', { lots: [lot('shin', used(500, 'other')), lot('liver', thrown)] })).toBe(
    false,
  );
  const fresh = lot('shin', used(500));
  const inFridge = { ...fresh.rec, values: { ...fresh.rec.values, place: 'fridge' as const } };
  expect(wasFrozen('b', { lots: [{ ...fresh, rec: inFridge }] })).toBe(false);
});
