import { describe, expect, it } from 'vitest';
import { knewNow, oldestFirst, packs, stock, type MovementEntry } from './stock-list';
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
    expect(result.thaws).toEqual([{ since: '2026-11-03T08:00:00Z', mass_g: 500 }]);
    expect(result.in_place_g).toBe(2000);
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
