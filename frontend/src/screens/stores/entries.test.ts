import { beforeEach, describe, expect, it } from 'vitest';
import { create, remove } from '../../db/store.svelte';
import { sum } from '../../domain/sums';
import { ModelServer } from '../../test/model-server';
import { Phone } from '../../test/phone';
import { divide } from './dividing';
import { entriesOf, entryTitle, isHalfOfDivision } from './entries';
import { readLarder } from './larder';

const AT = '2026-11-21T08:00:00Z';
let phone: Phone;

async function inAll_g(): Promise<number> {
  return sum((await readLarder()).lots.map(({ stock }) => stock.total_g));
}

beforeEach(async () => {
  phone = await Phone.open(new ModelServer());
  await phone.do(async () => {
    const of = await create('lot', { food: 'usda-13321', pack_mass_g: 2000 });
    await create('movement', { of, what: 'stored', mass_g: 6000, at: AT });
    await create('movement', { of, what: 'thawed', mass_g: 2000, at: AT });
    const [lot] = (await readLarder()).lots;
    if (!lot) throw new Error('nothing is in store');
    await divide(lot, { taken_g: 1500, waste_g: 0, into: { pack_mass_g: 250 }, at: AT });
  });
});

describe('the entries of a lot', () => {
  it('cannot be taken back where the mass would then stand in two lots or in none', async () => {
    await phone.do(async () => {
      const { lots } = await readLarder();
      const all = lots.flatMap((lot) =>
        entriesOf(lot.movements, lot.counts).map((entry) => ({ entry, lot })),
      );
      const halves = all.filter(({ entry, lot }) => isHalfOfDivision(entry, lot));
      expect(halves.map(({ entry }) => entryTitle(entry)).sort()).toEqual([
        'Divided into smaller packs',
        'Put in store',
      ]);
      const [half] = halves;
      if (half) await remove(half.entry.rec);
      expect(await inAll_g()).not.toBe(6000);
    });
  });

  it('can be taken back where they are of this lot alone', async () => {
    await phone.do(async () => {
      const [lot] = (await readLarder()).lots;
      const own = lot ? entriesOf(lot.movements, lot.counts) : [];
      const free = own.filter((entry) => lot && !isHalfOfDivision(entry, lot));
      expect(free.map(entryTitle).sort()).toEqual(['Put in store', 'To the fridge, to thaw']);
    });
  });
});
