import { describe, expect, it } from 'vitest';
import type { Rec } from '../../db/store.svelte';
import type { Lot, Movement } from '../../domain/kinds';
import { dividedLot } from './dividing';
import { emptyLarder, type Ledgered } from './larder';
import { lastings, valueInStore, type InUse } from './lasting';
import { stock } from './stock-list';

type Entry = readonly [what: Movement['what'], mass_g: number, day: string, into?: string];

function lot(rid: string, values: Partial<Lot>, entries: readonly Entry[]): Ledgered<'lot'> {
  const movements = entries.map(([what, mass_g, day, into], index) => ({
    rid: `${rid} ${index}`,
    values: { of: rid, what, mass_g, at: `${day}T12:00:00Z`, into: into ?? null },
  }));
  return {
    rec: { rid, values: { food: rid, pack_mass_g: 500, ...values } } as Rec<'lot'>,
    movements: movements as unknown as Ledgered<'lot'>['movements'],
    counts: [],
    first_at: movements.map(({ values }) => values.at).sort()[0] ?? null,
    stored_g: entries.reduce((sum, [what, mass_g]) => sum + (what === 'stored' ? mass_g : 0), 0),
    stock: stock(
      movements.map(({ rid: id, values: { what, mass_g, at } }) => ({ rid: id, what, mass_g, at })),
      [],
    ),
  };
}

const moment = { today: '2026-11-28', zone: 'UTC' };
const larder = (...lots: Ledgered<'lot'>[]): InUse => ({
  ...emptyLarder,
  lots,
  lately: lots.flatMap((each) => each.movements),
});

describe('lastings', () => {
  it('takes the rate of the last 28 days, and the day on which nothing is left', () => {
    const heart = lot('heart', {}, [
      ['stored', 9000, '2026-08-01'],
      ['used', 3000, '2026-10-31'], // Before the window.
      ['used', 2800, '2026-11-10'],
    ]);
    // 100 g a day; of 3,200 g there is enough until the 32nd day.
    expect(lastings(larder(heart), moment)).toEqual([
      { food: 'heart', left_g: 3200, rate_g_per_day: 100, outOn: '2026-12-30' },
    ]);
  });

  it('counts as use neither what was divided nor what was thrown away', () => {
    const tripe = lot('tripe', {}, [
      ['stored', 9200, '2026-11-01'],
      ['used', 4600, '2026-11-20', 'small'],
      ['discarded', 600, '2026-11-21'],
    ]);
    expect(lastings(larder(tripe), moment)[0]).toMatchObject({ rate_g_per_day: 0, outOn: null });
  });

  it('knows no rate from less than a week', () => {
    const liver = lot('liver', {}, [
      ['stored', 1000, '2026-11-25'],
      ['used', 300, '2026-11-26'],
    ]);
    expect(lastings(larder(liver), moment)[0]).toMatchObject({ rate_g_per_day: null, outOn: null });
  });

  it('adds up the lots of a food and puts first what runs out first', () => {
    const old = lot('a', { food: 'fish' }, [
      ['stored', 2800, '2026-10-01'],
      ['used', 2800, '2026-11-20'],
    ]);
    const fresh = lot('b', { food: 'fish' }, [['stored', 500, '2026-11-27']]);
    const rice = lot('rice', {}, [
      ['stored', 6000, '2026-10-01'],
      ['used', 1400, '2026-11-20'],
    ]);
    const found = lastings(larder(rice, old, fresh), moment);
    expect(found.map(({ food, left_g, outOn }) => [food, left_g, outOn])).toEqual([
      ['fish', 500, '2026-12-03'],
      ['rice', 4600, '2027-02-28'],
    ]);
  });
});

const price = { minor: 4600, currency: 'EUR' };

describe('valueInStore', () => {
  it('is the share of the price of what is left; a lot without one is told', () => {
    const half = lot('half', { price }, [
      ['stored', 9200, '2026-11-01'],
      ['used', 4600, '2026-11-20'],
    ]);
    const gift = lot('gift', {}, [['stored', 500, '2026-11-01']]);
    const gone = lot('gone', {}, [
      ['stored', 500, '2026-11-01'],
      ['used', 500, '2026-11-02'],
    ]);
    const value = valueInStore(larder(half, gift, gone));
    expect([[...value.minor], value.unpriced]).toEqual([[['EUR', 2300]], 1]);
  });
});

describe('dividedLot', () => {
  const logs = lot(
    'logs',
    { price, form: 'log', place: 'freezer', frozen_on: '2026-11-01', seller: 'Farm gate' },
    [['stored', 9200, '2026-11-01']],
  );

  it('takes its share of the price along, and its own shape', () => {
    const into = { pack_mass_g: 200, form: 'flat_bag' as const };
    const at = '2026-11-28T12:00:00Z';
    const made = dividedLot(logs, { taken_g: 2300, waste_g: 100, into, at });
    expect(made).toMatchObject({
      food: 'logs',
      pack_mass_g: 200,
      form: 'flat_bag',
      frozen_on: '2026-11-01',
      seller: 'Farm gate',
      divided_from: 'logs',
      price: { minor: 1150, currency: 'EUR' },
    });
  });
});
