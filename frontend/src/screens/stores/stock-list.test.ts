import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { foodGrams, scaleFigure } from '../../ui/words';
import {
  countedMass_g,
  knewNow,
  oldestFirst,
  packs,
  packsSeen,
  stock,
  type MovementEntry,
} from './stock-list';
import type { Effect, LedgerCount } from '../../domain/ledger';

function moved(rid: string, what: Effect, mass_g: number, at: string): MovementEntry {
  return { rid, what, mass_g, at: `2026-11-${at}T08:00:00Z` };
}

function counted(rid: string, counted_g: number, knew: string[], at: string): LedgerCount {
  return { rid, counted_g, knew, at: `2026-11-${at}T08:00:00Z` };
}

describe('stock', () => {
  it('is what was stored less what was used and discarded', () => {
    const movements = [
      moved('a', 'stored', 4000, '01'),
      moved('b', 'used', 1000, '03'),
      moved('c', 'discarded', 200, '04'),
    ];
    expect(stock(movements, []).total_g).toBe(2800);
  });

  it('does not depend on the order in which entries arrive', () => {
    const movements = [
      moved('a', 'stored', 4000, '01'),
      moved('b', 'thawed', 1000, '02'),
      moved('c', 'used', 400, '03'),
    ];
    expect(stock([...movements].reverse(), [])).toEqual(stock(movements, []));
  });

  it('moves thawed packs to the fridge and uses them before frozen ones', () => {
    const movements = [
      moved('a', 'stored', 4000, '01'),
      moved('b', 'thawed', 1000, '02'),
      moved('c', 'thawed', 1000, '03'),
      moved('d', 'used', 1500, '04'),
    ];
    const result = stock(movements, []);
    expect(result.total_g).toBe(2500);
    expect(result.thaws).toEqual([{ since: '2026-11-03T08:00:00Z', mass_g: 500, way: 'fridge' }]);
    expect(result.in_place_g).toBe(2000);
  });

  it('takes what is frozen again out of the fridge and keeps every gram', () => {
    const movements = [
      moved('a', 'stored', 4000, '01'),
      moved('b', 'thawed', 1000, '02'),
      moved('c', 'refrozen', 600, '03'),
    ];
    expect(stock(movements, [])).toMatchObject({ total_g: 4000, thawed_g: 400, in_place_g: 3600 });
  });

  it('takes what was used before a thaw from the freezer', () => {
    const movements = [
      moved('a', 'stored', 2000, '01'),
      moved('b', 'used', 500, '02'),
      moved('c', 'thawed', 1000, '03'),
    ];
    expect(stock(movements, []).thawed_g).toBe(1000);
  });

  it('holds a count and adds what the count did not know', () => {
    const movements = [moved('a', 'stored', 4000, '01'), moved('b', 'used', 500, '05')];
    expect(stock(movements, [counted('k', 3000, ['a'], '04')]).total_g).toBe(2500);
  });

  it('takes the later of two counts that did not see each other, and says so', () => {
    const movements = [moved('a', 'stored', 4000, '01')];
    const counts = [counted('k', 3000, ['a'], '04'), counted('l', 2800, ['a'], '05')];
    const result = stock(movements, counts);
    expect(result.total_g).toBe(2800);
    expect(result.has_rival_counts).toBe(true);
  });

  it('drops a count that a later count has seen', () => {
    const counts = [counted('k', 3000, ['a'], '04'), counted('l', 2800, ['a', 'k'], '05')];
    expect(stock([moved('a', 'stored', 4000, '01')], counts).total_g).toBe(2800);
    expect(stock([moved('a', 'stored', 4000, '01')], counts).has_rival_counts).toBe(false);
  });

  it('never shows more thawed than there is', () => {
    const movements = [moved('a', 'stored', 2000, '01'), moved('b', 'thawed', 2000, '02')];
    const result = stock(movements, [counted('k', 600, ['a', 'b'], '03')]);
    expect(result.thawed_g).toBe(600);
    expect(result.in_place_g).toBe(0);
  });

  it('goes negative rather than hiding a mistake', () => {
    expect(stock([moved('a', 'used', 300, '01')], []).total_g).toBe(-300);
  });
});

describe('packs', () => {
  it('splits a mass into whole packs and the rest', () => {
    expect(packs(4500, 1000)).toEqual({ count: 4, rest_g: 500 });
    expect(packs(4500, null)).toBeNull();
    expect(packs(0, 1000)).toBeNull();
  });
});

describe('lists', () => {
  it('puts the oldest first and the undated last', () => {
    const rows = [{ date: null }, { date: '2026-09-02' }, { date: '2026-08-12' }];
    expect(oldestFirst(rows).map((row) => row.date)).toEqual(['2026-08-12', '2026-09-02', null]);
  });

  it('names every entry on screen for a count', () => {
    expect(knewNow([{ rid: 'a' }], [{ rid: 'k' }])).toEqual(['a', 'k']);
  });
});

// 1 lb = 453.59237 g exactly (NIST Handbook 44, appendix C).
describe('packs of so many ounces', () => {
  it('are whole where their grams are a few more or less than what they were made of', () => {
    // 2 lb are 907 g, and 4 × 8 oz are 4 × 227 g; 3 lb are 1361 g, and 4 × 12 oz are 4 × 340 g.
    expect(packsSeen(907, 227, 'us')).toEqual({ count: 4, rest_g: 0 });
    expect(packsSeen(1361, 340, 'us')).toEqual({ count: 4, rest_g: 0 });
    expect(packsSeen(907, 227, 'metric')).toEqual({ count: 3, rest_g: 226 });
    fc.assert(
      fc.property(fc.integer({ min: 3, max: 80 }), fc.integer({ min: 1, max: 40 }), (oz, count) => {
        const seen = packsSeen(foodGrams(oz * count, 'us'), foodGrams(oz, 'us'), 'us');
        // So many packs are off by more than a twentieth of one only where they are many.
        if (count <= foodGrams(oz, 'us') / 10) expect(seen).toEqual({ count, rest_g: 0 });
      }),
    );
  });

  it('are not whole where something was taken', () => {
    expect(packsSeen(99, 1, 'us')).toEqual({ count: 99, rest_g: 0 });
    expect(packsSeen(19_960, 200, 'us')).toEqual({ count: 99, rest_g: 160 });
    expect(packsSeen(640, 500, 'us')).toEqual({ count: 1, rest_g: 140 });
    expect(packsSeen(0, 500, 'us')).toBeNull();
  });
});

describe('a count', () => {
  const units = fc.constantFrom('metric' as const, 'us' as const);
  const book = fc.integer({ min: 1, max: 50_000 });
  const pack = fc.integer({ min: 1, max: 5000 });

  it('corrects nothing where nothing was changed', () => {
    fc.assert(
      fc.property(book, pack, units, (book_g, pack_g, unit) => {
        const seen = packsSeen(book_g, pack_g, unit);
        const [whole, loose_g] = [seen?.count ?? 0, seen?.rest_g ?? 0];
        expect(countedMass_g({ whole, pack_g, loose_g }, book_g, unit)).toBe(book_g);
      }),
    );
  });

  it('corrects nothing where what is shown is typed again, in packs or loose', () => {
    fc.assert(
      fc.property(book, pack, (book_g, pack_g) => {
        for (const whole of [0, Math.floor(book_g / pack_g)]) {
          const shown = scaleFigure(book_g - whole * pack_g, 'us');
          const loose_g = foodGrams(shown, 'us');
          expect(countedMass_g({ whole, pack_g, loose_g }, book_g, 'us')).toBe(book_g);
        }
      }),
    );
  });

  it('corrects by what differs, to the gram in grams', () => {
    expect(countedMass_g({ whole: 1, pack_g: 500, loose_g: 139 }, 640, 'metric')).toBe(639);
    expect(countedMass_g({ whole: 1, pack_g: 500, loose_g: 0 }, 640, 'us')).toBe(500);
    expect(countedMass_g({ whole: 2, pack_g: 500, loose_g: 0 }, 640, 'us')).toBe(1000);
    // One tablet of 1 g too few among a hundred.
    expect(countedMass_g({ whole: 99, pack_g: 1, loose_g: 0 }, 100, 'us')).toBe(99);
    // More was taken out than was ever put in: nothing is nothing.
    expect(countedMass_g({ whole: 0, pack_g: 500, loose_g: 0 }, -5, 'us')).toBe(0);
  });
});
