import { beforeEach, describe, expect, it } from 'vitest';
import { create, record, remove } from '../../db/store.svelte';
import { daysAgo } from '../../ui/days';
import { ModelServer } from '../../test/model-server';
import { Phone } from '../../test/phone';
import { carryForward } from './carrying';
import { carriedFrom, carriedSums, readLarder, readShelves, type Shelves } from './larder';

let phone: Phone;
let old: string;
let fresh: string;

/** A lot that lay untouched for a year after packs were used, and one that was used today. */
beforeEach(async () => {
  phone = await Phone.open(new ModelServer());
  await phone.do(async () => {
    const price = { minor: 2400, currency: 'GBP' };
    const lot = () => create('lot', { food: 'usda-13323', pack_mass_g: 500, price });
    [old, fresh] = [await lot(), await lot()];
    const yearAgo = daysAgo(365);
    await create('movement', { of: old, what: 'stored', mass_g: 3000, at: yearAgo });
    await create('movement', { of: old, what: 'used', mass_g: 700, at: yearAgo });
    await create('count', { of: old, counted_g: 2000, knew: [], at: yearAgo });
    await create('movement', { of: fresh, what: 'stored', mass_g: 1500, at: yearAgo });
    await create('movement', { of: fresh, what: 'thawed', mass_g: 500, at: daysAgo(0) });
    const batch = await create('batch', { method: 'ground', stage: 'done', number: 7 });
    await create('bag', { batch, mass_g: 640, count: 3, place: 'freezer', packed_at: yearAgo });
  });
});

function sums({ lots, bags }: Shelves): unknown {
  return [...lots, ...bags].map(({ rec, stock, stored_g, first_at }) => {
    return { rid: rec.rid, stock, stored_g, first_at };
  });
}

describe('what there is', () => {
  it('is the same with and without the entries, carried forward or not', async () => {
    await phone.do(async () => {
      const whole = sums(await readLarder());
      expect(sums(await readShelves())).toEqual(whole);
      await carryForward();
      expect(sums(await readShelves())).toEqual(whole);
      expect(sums(await readLarder())).toEqual(whole);
    });
  });

  it('needs no entry of what lay quiet, and all of what did not', async () => {
    await phone.do(async () => {
      const whole = sums(await readLarder());
      await carryForward();
      const lots = await Promise.all([record('lot', old), record('lot', fresh)]);
      expect(lots.map((lot) => lot && carriedSums(lot)?.stored_g)).toEqual([3000, undefined]);
      // Behind the back of everything: nobody asks for them.
      const entries = await phone.db.records.filter(({ owner }) => owner === old).primaryKeys();
      expect(entries).toHaveLength(3);
      await phone.db.records.bulkDelete(entries);
      expect(sums(await readShelves())).toEqual(whole);
    });
  });

  it('follows the next entry of what was carried', async () => {
    await phone.do(async () => {
      await carryForward();
      await create('movement', { of: old, what: 'used', mass_g: 100, at: daysAgo(0) });
      expect(sums(await readShelves())).toEqual(sums(await readLarder()));
      await carryForward();
      const lot = await record('lot', old);
      expect(lot && carriedSums(lot)).toBeUndefined();
      if (lot) await remove(lot);
      expect(sums(await readShelves())).toEqual(sums(await readLarder()));
    });
  });

  it('takes nothing that was carried by another rule', async () => {
    await phone.do(async () => {
      const lot = await record('lot', old);
      const carried = lot && carriedFrom(lot, []);
      expect(lot && carriedSums({ ...lot, carried: { ...carried, rule: 0 } })).toBeUndefined();
      const dog = await create('dog', { name: 'Morag' });
      const rec = await record('dog', dog);
      expect(rec && carriedFrom(rec, [])).toBeUndefined();
    });
  });
});
