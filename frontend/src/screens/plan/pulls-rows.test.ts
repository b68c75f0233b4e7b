import { expect, test } from 'vitest';
import vectors from '../../../../fixtures/vectors/thaw.json' with { type: 'json' };
import type { Rec } from '../../db/store.svelte';
import type { Tables } from '../../domain/tables';
import { fridgeRows, thawDays } from '../stores/fridge-rows';
import { emptyShelves, type Shelves, type Stocked } from '../stores/larder';
import { refreezeRefusal } from '../stores/refreeze';
import { stock, type MovementEntry } from '../stores/stock-list';
import { inHandOf } from '../today/table';
import { neededFor, type PullState } from './pulls';
import {
  dayHeads,
  goodForBatch,
  hoursWords,
  openRows,
  pullRow,
  scaleOf,
  type PullSetting,
} from './pulls-rows';

const NOW = Date.parse('2026-11-25T12:00:00Z');

// Days of the USDA's thawing advice (FSIS, The Big Thaw).
const keeping = [
  { class: 'ground_meat', place: 'thawed', days_min: 1, days_max: 2, source: 'fsis' },
  { class: 'red_meat_pieces', place: 'thawed', days_min: 3, days_max: 5, source: 'fsis' },
];
const tables = {
  thaw: vectors.tables,
  keeping,
  sources: { fsis: { title: 'The Big Thaw', publisher: 'USDA FSIS', year: 2013 } },
  foods: [{ key: 'heart', keeping_class: 'red_meat_pieces', v: { water: 75, fat: 5 } }],
} as unknown as Tables;

function lot(
  rid: string,
  food: string,
  moves: readonly MovementEntry[],
  form = 'flat_bag',
): Stocked<'lot'> {
  const values = { food, pack_mass_g: 500, place: 'freezer', form, thickness_mm: 30 };
  return {
    rec: { rid, entity: 'lot', values } as unknown as Rec<'lot'>,
    stock: stock(moves, []),
    stored_g: 0,
    first_at: null,
  };
}

function setting(
  lots: readonly Stocked<'lot'>[],
  batches: Shelves['batches'] = new Map(),
): PullSetting {
  return {
    tables,
    larder: { ...emptyShelves, lots, batches },
    names: (food) => food,
    fridge_c: 4,
    today: '2026-11-25',
    zone: 'Europe/London',
    units: 'metric',
  };
}

function pull(rid: string, values: Partial<Rec<'pull'>['values']>): PullState {
  const all = { of: 'l', packs: 2, pack_mass_g: 500, needed_at: '2026-11-27T17:00:00Z', ...values };
  return {
    rec: { rid, entity: 'pull', values: all } as unknown as Rec<'pull'>,
    to_do: [1, 2],
    moved: [],
  };
}

const stored: MovementEntry = {
  rid: 'a',
  what: 'stored',
  mass_g: 2000,
  at: '2026-11-01T08:00:00Z',
};

test('hours are told whole, and to a tenth where that says too little', () => {
  expect(hoursWords(10.9, 28.2)).toBe('10 to 29 h');
  expect(hoursWords(24, 24)).toBe('24 h');
  expect(hoursWords(0.55, 1.1)).toBe('0.5 to 1.1 h');
});

test('a pull says what is moved, from where, and what stands behind its figures', () => {
  const row = pullRow(pull('p', {}).rec.values, setting([lot('l', 'heart', [stored])]));
  expect(row.title).toBe('heart, 2 packs of 500 g');
  expect(row.place).toBe('Freezer');
  expect(row.window?.latest).toBe(Date.parse('2026-11-26T17:00:00Z'));
  expect(row.caveats).toEqual([]);
  expect(row.behind[0]).toMatch(/by the rule of thumb 24 h: the rule of thumb is longer/);
  expect(row.behind).toContain('Keeps 3 to 5 days once thawed, as whole red meat.');
  expect(row.behind.at(-1)).toMatch(/^The Big Thaw, USDA FSIS/);
});

test('what no chart knows and what is too thick is said before it is moved', () => {
  const unknown = pullRow(pull('p', {}).rec.values, setting([lot('l', 'oddity', [stored])]));
  expect(unknown.window?.earliest).toBeNull();
  expect(unknown.caveats[0]).toMatch(/^No chart says how long it keeps/);
  expect(unknown.behind).toContain('What it is made of is taken as lean meat.');
  const gone = pullRow(pull('p', { of: 'gone' }).rec.values, setting([]));
  expect([gone.title, gone.window]).toEqual(['Taken out of the book, 2 packs of 500 g', null]);
});

// Zinc gluconate has figures of its zinc only: nothing says what else it is made of.
test('what a table gives no figures of is taken as lean meat', () => {
  const v = { water: 0, protein: 0, fat: 0, carbohydrate: 0, ash: 0 };
  const foods = [{ key: 'zinc', keeping_class: null, v }];
  const here = setting([lot('l', 'zinc', [stored])]);
  const row = pullRow(pull('p', {}).rec.values, {
    ...here,
    tables: { ...tables, foods } as unknown as Tables,
  });
  expect(row.behind).toContain('What it is made of is taken as lean meat.');
});

test('what is past its days when the batch is made does not count as thawed for it', () => {
  const thaw = (at: string, way: 'fridge' | 'cold_water'): MovementEntry => ({
    rid: 't',
    what: 'thawed',
    mass_g: 2000,
    at,
    way,
  });
  const asked = (moved: MovementEntry, ready: string) => {
    const heart = lot('l', 'heart', [stored, moved]);
    const here = setting([heart]);
    const plan = [{ food: 'heart', mass_g: 1000 }];
    return neededFor('b', plan, { larder: here.larder, pulls: [] }, (each) =>
      goodForBatch(each, here, { ready: Date.parse(ready), now: NOW }),
    ).map(({ missing_g }) => missing_g);
  };
  // Whole red meat keeps 3 to 5 days once thawed, at the soonest within the day it is moved.
  const moved = thaw('2026-11-24T17:00:00Z', 'fridge');
  expect(asked(moved, '2026-11-29T12:00:00Z')).toEqual([]);
  expect(asked(moved, '2026-12-01T17:00:00Z')).toEqual([1000]);
  expect(asked(thaw('2026-11-10T17:00:00Z', 'fridge'), '2026-11-24T17:00:00Z')).toEqual([1000]);
  expect(asked(thaw('2026-11-25T11:00:00Z', 'cold_water'), '2026-11-25T17:00:00Z')).toEqual([]);
  expect(asked(thaw('2026-11-25T06:00:00Z', 'cold_water'), '2026-11-25T17:00:00Z')).toEqual([1000]);
});

test('the pulls of a batch are one row with the first of their ends; those of meals are their own', () => {
  const batches = new Map([['b', { values: { number: 42 } } as unknown as Rec<'batch'>]]);
  const all = [
    pull('one', { batch: 'b' }),
    pull('two', { batch: 'b', needed_at: '2026-11-27T18:00:00Z' }),
    pull('meal', { needed_at: '2026-11-26T07:00:00Z' }),
  ];
  const where = setting([lot('l', 'heart', [stored])], batches);
  const rows = openRows(all, where, { now: NOW, isSoon: true, travels: [] });
  expect(rows.map(({ title, over, figure, tone }) => [title, over, figure, tone])).toEqual([
    ['heart, 2 packs of 500 g', 'since today', '07:00', 'care'],
    ['Pulls for batch 42', 'by tomorrow', '17:00', undefined],
  ]);
  expect(rows[1]).toMatchObject({ href: '/plan/b/pulls', detail: '4 packs, 2 kg', pull: null });
  const later = [pull('later', { needed_at: '2026-11-29T17:00:00Z' })];
  expect(openRows(later, where, { now: NOW, isSoon: true, travels: [] })).toEqual([]);
  expect(openRows(later, where, { now: NOW, isSoon: false, travels: [] })).toHaveLength(1);
  const days = { first: '2026-11-26', last: '2026-11-26' };
  const travels = [{ rid: 't', values: { days, food: 'dry' } }] as unknown as Rec<'travel'>[];
  const away = openRows(all, where, { now: NOW, isSoon: true, travels });
  expect(away[0]?.detail).not.toContain('travel');
  expect(away[1]?.detail).toBe('4 packs, 2 kg. You travel then, on dry food');
});

test('a pull for a meal says when less than it names still lies there', () => {
  const used: MovementEntry = { ...stored, rid: 'u', what: 'used', mass_g: 1500 };
  const detail = (moves: readonly MovementEntry[]) =>
    openRows([pull('meal', {})], setting([lot('l', 'heart', moves)]), {
      now: NOW,
      isSoon: false,
      travels: [],
    })[0]?.detail;
  expect(detail([stored])).toBe('Freezer, for Fri 17:00');
  expect(detail([stored, used])).toBe('Freezer, for Fri 17:00, less than that lies there');
});

test('a ruler shows whole days of the household, also where the clocks change', () => {
  const row = (needed: string) =>
    pullRow(
      { ...pull('p', {}).rec.values, needed_at: needed },
      setting([lot('l', 'oddity', [stored])]),
    );
  const scale = scaleOf([row('2026-11-27T17:00:00Z')], 'Europe/London');
  expect(dayHeads(scale, 'Europe/London')).toEqual(['Thu 26', 'Fri 27']);
  // In 2026 British clocks go back on 25 October.
  const change = scaleOf([row('2026-10-26T17:00:00Z')], 'Europe/London');
  expect(dayHeads(change, 'Europe/London')).toEqual(['Sun 25', 'Mon 26']);
});

test('the fridge says what thaws, until when it keeps, and what is used at once', () => {
  const moved = (rid: string, at: string, way: 'fridge' | 'cold_water'): MovementEntry => ({
    rid,
    what: 'thawed',
    mass_g: 500,
    at,
    way,
  });
  const rows = (moves: readonly MovementEntry[]) =>
    fridgeRows(setting([lot('l', 'heart', [stored, ...moves])]), NOW).map(
      ({ over, figure, detail, tone }) => [over, `${figure}`, detail, tone],
    );
  const [fresh] = rows([moved('f', '2026-11-25T11:00:00Z', 'fridge')]);
  expect(fresh?.[0]).toBe('until Sat');
  expect(fresh?.[2]).toBe('Thawing. Thawed by tomorrow 11:00');
  expect(rows([moved('w', '2026-11-25T11:30:00Z', 'cold_water')])[0]).toEqual([
    'use',
    'at once',
    expect.stringMatching(/^Thawing in cold water/),
    undefined,
  ]);
  expect(rows([moved('l', '2026-11-21T11:00:00Z', 'fridge')])[0]?.[3]).toBe('care');
  expect(rows([moved('p', '2026-11-15T11:00:00Z', 'fridge')])[0]?.slice(2)).toEqual([
    'Past its days: throw it away, in since 15 Nov 11:00',
    'alert',
  ]);
});

// USDA FSIS, The Big Thaw: refrozen without cooking only if thawed in the refrigerator.
test('a bag that thawed is past its days before the day of the freezer, also where it is fed', () => {
  const thawed = (at: string): MovementEntry[] => [
    { rid: 't', what: 'thawed', mass_g: 500, at, way: 'fridge' },
  ];
  const values = { batch: 'b', mass_g: 500, count: 2, place: 'freezer', use_by: '2027-03-01' };
  const bag = (at: string | null): Stocked<'bag'> => ({
    rec: { rid: 'bag', entity: 'bag', values } as unknown as Rec<'bag'>,
    stock: stock(at === null ? [] : thawed(at), [], 1000),
    stored_g: 0,
    first_at: null,
  });
  const batch = { method: 'ground', plan: [{ food: 'heart', mass_g: 1000 }] };
  const batches = new Map([['b', { rid: 'b', values: batch } as unknown as Rec<'batch'>]]);
  const past = (at: string | null) => {
    const here = setting([], batches);
    const larder = { ...here.larder, bags: [bag(at)] };
    const thing = inHandOf(larder, { food: null, batch: null, bag: 'bag' });
    return thing && thawDays(thing, { ...here, larder }, NOW)?.isPast;
  };
  expect(past('2026-11-15T11:00:00Z')).toBe(true);
  expect(past('2026-11-25T08:00:00Z')).toBe(false);
  expect(past(null)).toBeUndefined();
});

test('only what thawed in a cold fridge and is within its days may be frozen again', () => {
  const thawed = (at: string, way: 'fridge' | 'cold_water') =>
    lot('l', 'heart', [stored, { rid: 't', what: 'thawed', mass_g: 500, at, way }]);
  const refused = (thing: Stocked<'lot'>, fridge_c = 4) =>
    refreezeRefusal(thing, { ...setting([thing]), fridge_c }, NOW);
  expect(refused(thawed('2026-11-24T11:00:00Z', 'fridge'))).toBeNull();
  expect(refused(thawed('2026-11-24T11:00:00Z', 'fridge'), 8)).toMatch(/too warm/);
  expect(refused(thawed('2026-11-10T11:00:00Z', 'fridge'))).toMatch(/past its use-by/);
  expect(refused(thawed('2026-11-25T11:00:00Z', 'cold_water'))).toMatch(/cook it before freezing/);
});

// USDA FSIS, The Big Thaw: whole red meat keeps 3 to 5 days once thawed; what thawed in cold water
// is used at once.
test('the day that is told is that of what keeps least, and the last one the chart allows', () => {
  const thaw = (rid: string, at: string, way: 'fridge' | 'cold_water'): MovementEntry => ({
    rid,
    what: 'thawed',
    mass_g: 500,
    at,
    way,
  });
  const days = (now: string, ...moves: MovementEntry[]) => {
    const heart = lot('l', 'heart', [stored, ...moves]);
    return thawDays(heart, setting([heart]), Date.parse(now));
  };
  const fridge = thaw('f', '2026-11-19T12:00:00Z', 'fridge');
  const before = days('2026-11-24T12:00:00Z', fridge)?.words ?? '';
  expect(before).toMatch(/^Good until /);
  expect(days('2026-11-26T12:00:00Z', fridge)).toEqual({
    words: before.replace('Good until', 'Past its days since'),
    isPast: true,
  });
  const late = thaw('f', '2026-11-25T06:00:00Z', 'fridge');
  const water = thaw('w', '2026-11-25T07:00:00Z', 'cold_water');
  expect(days('2026-11-25T12:00:00Z', late, water)).toEqual({
    words: 'Thawed in cold water too long ago',
    isPast: true,
  });
});
