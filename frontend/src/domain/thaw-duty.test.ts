import fc from 'fast-check';
import { expect, test } from 'vitest';
import vectors from '../../../fixtures/vectors/thaw.json' with { type: 'json' };
import type { KeepingRow } from './tables.ts';
import { inFridge, type Pack } from './thaw.ts';
import type { ThawTables } from './thermal.ts';
import {
  earliestOf,
  fridgeOf,
  inFridgeSince,
  inWaterSince,
  keepsThawed,
  packsFor,
  phaseOf,
  thawTime,
  windowOf,
  type Moved,
} from './thaw-duty.ts';

const tables = vectors.tables as unknown as ThawTables;
const HOUR = 3_600_000;
const DAY = 24 * HOUR;
const NEEDED = Date.parse('2026-11-27T17:00:00Z');

// USDA FSIS, The Big Thaw: after thawing in the refrigerator, ground meat, stew meat, poultry and
// seafood keep a day or two, red meat cuts three to five days.
const KEEPING: KeepingRow[] = [
  { class: 'ground_meat', place: 'thawed', days_min: 1, days_max: 2, source: 'fsis' },
  { class: 'poultry_pieces', place: 'thawed', days_min: 1, days_max: 2, source: 'fsis' },
  { class: 'red_meat_pieces', place: 'thawed', days_min: 3, days_max: 5, source: 'fsis' },
  { class: 'poultry_pieces', place: 'fridge', days_min: 9, days_max: 9, source: 'other place' },
];

const bag: Pack = { mass_g: 500, form: 'flat_bag', thickness_mm: 30, parts: null };
const block: Pack = { mass_g: 6000, form: 'block', thickness_mm: 150, parts: null };

test('an unmeasured fridge is a range, and says that it is assumed', () => {
  expect(fridgeOf(null)).toEqual({ coldest_c: 2, warmest_c: 4, is_assumed: true });
  expect(fridgeOf(undefined).is_assumed).toBe(true);
  expect(fridgeOf(3)).toEqual({ coldest_c: 3, warmest_c: 3, is_assumed: false });
});

test('the range of an unmeasured fridge spans those of its two ends', () => {
  const time = thawTime(tables, block, fridgeOf(null));
  expect(time.low_hours).toBe(inFridge(tables, block, 4).low_hours);
  expect(time.high_hours).toBe(inFridge(tables, block, 2).high_hours);
  expect(time.plan_hours).toBeGreaterThan(inFridge(tables, block, 4).plan_hours);
});

test('a fridge warmer than the model is reckoned as its warmest, which takes longer', () => {
  expect(thawTime(tables, bag, fridgeOf(15))).toEqual(inFridge(tables, bag, 10));
});

test('the class that keeps least rules, and other places in the chart do not count', () => {
  const mixed = keepsThawed(KEEPING, ['red_meat_pieces', 'poultry_pieces']);
  expect(mixed).toMatchObject({ shortest_days: 1, longest_days: 2, class: 'poultry_pieces' });
  expect(keepsThawed(KEEPING, ['red_meat_pieces'])).toMatchObject({
    shortest_days: 3,
    longest_days: 5,
  });
  expect(keepsThawed(KEEPING, ['oil'])).toBeNull();
});

test('a thin bag has a window by the shorter figure of the chart', () => {
  const time = thawTime(tables, bag, fridgeOf(4));
  const window = windowOf(NEEDED, time, keepsThawed(KEEPING, ['ground_meat']));
  expect(window.by).toBe('shortest');
  // The printed rule governs a thin bag: a full day before it is needed.
  expect(window.latest).toBe(NEEDED - 24 * HOUR);
  expect(window.earliest).toBe(NEEDED - DAY - time.low_hours * HOUR);
});

test('where only the longer figure fits it is used, and said; then it is too thick', () => {
  const time = thawTime(tables, { ...block, mass_g: 4000, thickness_mm: 110 }, fridgeOf(4));
  const ground = keepsThawed(KEEPING, ['ground_meat']);
  expect(windowOf(NEEDED, time, ground)).toMatchObject({ by: 'longest', is_too_thick: false });
  const thick = thawTime(tables, block, fridgeOf(2));
  expect(windowOf(NEEDED, thick, ground)).toMatchObject({ by: 'longest', is_too_thick: true });
  expect(windowOf(NEEDED, thick, null)).toMatchObject({ earliest: null, by: null });
});

test('the days count from the first moment at which it can have thawed', () => {
  const time = thawTime(tables, bag, fridgeOf(4));
  const moved = inFridgeSince(0, time, keepsThawed(KEEPING, ['ground_meat']));
  expect(moved.thawed_from).toBe(time.low_hours * HOUR);
  expect(moved.thawed_by).toBe(24 * HOUR);
  expect(moved.use_by).toBe(moved.thawed_from + DAY);
  expect(moved.at_latest).toBe(moved.thawed_from + 2 * DAY);
  expect(inFridgeSince(0, time, null)).toMatchObject({ use_by: null, at_latest: null });
});

test('a pack moved within its window is thawed and still good when it is needed', () => {
  const forms = fc.constantFrom('block', 'flat_bag', 'log', 'piece', 'tray');
  fc.assert(
    fc.property(
      forms,
      fc.integer({ min: 50, max: 3000 }),
      fc.double({ min: 0, max: 1, noNaN: true }),
      (form, mass_g, share) => {
        const time = thawTime(
          tables,
          { mass_g, form, thickness_mm: null, parts: null },
          fridgeOf(null),
        );
        const keeps = keepsThawed(KEEPING, ['ground_meat']);
        const window = windowOf(NEEDED, time, keeps);
        if (window.earliest === null || window.is_too_thick) return;
        const since = window.earliest + share * (window.latest - window.earliest);
        const moved = inFridgeSince(since, time, keeps);
        expect(moved.thawed_by).toBeLessThanOrEqual(NEEDED + 1);
        expect(
          (window.by === 'shortest' ? moved.use_by : moved.at_latest) ?? 0,
        ).toBeGreaterThanOrEqual(NEEDED - 1);
      },
    ),
  );
});

// USDA FSIS, The Big Thaw: a pound in cold water takes an hour or less, and is cooked at once.
test('what thaws in cold water is used as soon as it has', () => {
  const moved = inWaterSince(tables, 0, 453.6);
  expect(moved.thawed_by / HOUR).toBeCloseTo(1, 2);
  expect([moved.use_by, moved.at_latest]).toEqual([moved.thawed_by, moved.thawed_by]);
  // Two hours out of the fridge at most (USDA FSIS, Refrigeration and Food Safety).
  expect([0.9, 1.1, 2.9, 3.1].map((hours) => phaseOf(moved, hours * HOUR))).toEqual([
    'thawing',
    'at_once',
    'at_once',
    'past',
  ]);
});

test('a pack goes from thawing to thawed to its last days to past', () => {
  const moved: Moved = { thawed_from: 1, thawed_by: 10, use_by: 20, at_latest: 30 };
  expect([5, 15, 25, 35].map((now) => phaseOf(moved, now))).toEqual([
    'thawing',
    'thawed',
    'last_days',
    'past',
  ]);
  expect(phaseOf({ ...moved, use_by: null, at_latest: null }, 99)).toBe('thawed');
});

test('the earliest component rules a batch; one without a figure does not', () => {
  const [early, late] = [10, 20].map((use_by) => ({
    thawed_from: 0,
    thawed_by: 0,
    use_by,
    at_latest: use_by,
  })) as [Moved, Moved];
  expect(earliestOf([late, { ...late, use_by: null }, early])).toBe(early);
  expect(earliestOf([])).toBeNull();
});

test('whole packs are taken from the oldest on, and what is missing is told', () => {
  const stacks = [
    { of: 'old', pack_mass_g: 500, free_g: 500 },
    { of: 'opened', pack_mass_g: 500, free_g: 120 },
    { of: 'new', pack_mass_g: 400, free_g: 2000 },
  ];
  expect(packsFor(1000, stacks)).toEqual({
    taken: [
      { of: 'old', packs: 1, pack_mass_g: 500 },
      { of: 'opened', packs: 1, pack_mass_g: 120 },
      { of: 'new', packs: 1, pack_mass_g: 400 },
    ],
    missing_g: 0,
  });
  expect(packsFor(9000, stacks).missing_g).toBe(9000 - 2620);
  // An opened pack beside whole ones counts too.
  expect(packsFor(2400, [{ of: 'lot', pack_mass_g: 1000, free_g: 2500 }])).toEqual({
    taken: [
      { of: 'lot', packs: 2, pack_mass_g: 1000 },
      { of: 'lot', packs: 1, pack_mass_g: 500 },
    ],
    missing_g: 0,
  });
  expect(packsFor(0, stacks)).toEqual({ taken: [], missing_g: 0 });
});

test('what is taken comes to what is short, by less than one pack more', () => {
  const stack = fc.record({
    of: fc.uuid(),
    pack_mass_g: fc.integer({ min: 1, max: 2000 }),
    free_g: fc.integer({ min: 0, max: 9000 }),
  });
  fc.assert(
    fc.property(fc.integer({ min: 0, max: 20_000 }), fc.array(stack), (short_g, stacks) => {
      const { taken, missing_g } = packsFor(short_g, stacks);
      const taken_g = taken.reduce((sum, each) => sum + each.packs * each.pack_mass_g, 0);
      const over_g = taken_g + missing_g - short_g;
      expect(over_g).toBeGreaterThanOrEqual(0);
      expect(over_g).toBeLessThan(Math.max(1, taken.at(-1)?.pack_mass_g ?? 1));
      for (const { of, packs, pack_mass_g } of taken)
        expect(packs * pack_mass_g).toBeLessThanOrEqual(
          stacks.filter((each) => each.of === of).reduce((sum, each) => sum + each.free_g, 0),
        );
    }),
  );
});
