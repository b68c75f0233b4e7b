import { beforeEach, expect, it, vi } from 'vitest';
import {
  app,
  create,
  discard,
  edit,
  record,
  remove,
  waiting,
  type Rec,
} from '../../db/store.svelte';
import { ModelServer } from '../../test/model-server';
import { INES, Phone } from '../../test/phone';
import { readLarder } from '../stores/larder';
import { takeLotAway } from '../stores/taking-away';
import { bringBack, putValueBack } from './put-back';

beforeEach(() => {
  app.keeping = 'unsaid';
});

it('undoes the putting back of what was never in force, with an entry that says something', async () => {
  const phone = await Phone.open(new ModelServer(), INES);
  const dog = await phone.do(() => create('dog', { name: 'Morag' }));
  await phone.sync();
  await phone.do(async () => {
    const read = async (): Promise<Rec<'dog'>> => {
      const found = await record('dog', dog);
      if (!found) throw new Error('the dog is not on this phone');
      return found;
    };
    await edit(await read(), { vet_notes: 'Itches at night' });
    for (const entry of await waiting()) await discard(entry);
    const before = (await read()).values.vet_notes;
    expect(before).toBeUndefined();
    const now = await putValueBack(await read(), 'vet_notes', 'Itches at night');
    if (now) await putValueBack(now, 'vet_notes', before);
    expect((await waiting()).map(({ set }) => set)).toEqual([
      { vet_notes: 'Itches at night' },
      { vet_notes: null },
    ]);
    expect((await read()).values.vet_notes).toBeNull();
  });
});

it('brings a lot back with what it held, and not what was taken back before', async () => {
  const phone = await Phone.open(new ModelServer(), INES);
  await phone.do(async () => {
    const of = await create('lot', { food: 'usda-05027', pack_mass_g: 500 });
    const at = '2026-10-01T08:00:00Z';
    await create('movement', { of, what: 'stored', mass_g: 1000, at });
    const mistaken = await create('movement', { of, what: 'used', mass_g: 300, at });
    vi.useFakeTimers({ toFake: ['Date'], now: Date.now() });
    const used = await record('movement', mistaken);
    if (used) await remove(used);
    vi.setSystemTime(Date.now() + 60_000);
    const larder = await readLarder();
    const [lot] = larder.lots;
    if (lot) await takeLotAway(lot, larder);
    vi.useRealTimers();
    const gone = await record('lot', of);
    if (gone) await bringBack(gone);
    expect((await readLarder()).lots[0]?.stock.total_g).toBe(1000);
  });
});
