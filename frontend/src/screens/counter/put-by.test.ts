import { beforeEach, describe, expect, it } from 'vitest';
import { app, create, record, records } from '../../db/store.svelte';
import { ModelServer } from '../../test/model-server';
import { CALLUM, INES, Phone } from '../../test/phone';
import { readLarder } from '../stores/larder';
import { putBy } from './put-by';

let server: ModelServer;
let batch: string;

async function finish(at: string): Promise<void> {
  const rec = await record('batch', batch);
  if (!rec) throw new Error('the batch is not on this phone');
  const bagged = [
    { place: 'fridge' as const, count: 1, mass_g: 500 },
    { place: 'freezer' as const, count: 2, mass_g: 500 },
    { place: 'freezer' as const, count: 1, mass_g: 500 },
  ];
  const useBy = { fridge: '2026-11-30', freezer: '2027-03-28' };
  await putBy(rec, { yield_g: 2000, bagged, useBy, at });
}

async function bagged_g(): Promise<number> {
  return (await readLarder()).bags.reduce((sum, { stock }) => sum + stock.total_g, 0);
}

beforeEach(() => {
  server = new ModelServer();
  // Already asked: the test has no browser whose promise could be had.
  app.keeping = 'unsaid';
});

describe('putting a batch by', () => {
  it('puts it by once, though both people at the counter did it with no network', async () => {
    const phones = [await Phone.open(server, INES), await Phone.open(server, CALLUM)] as const;
    await phones[0].do(async () => {
      batch = await create('batch', { method: 'ground', stage: 'mixed' });
    });
    await phones[0].sync();
    await phones[1].sync();
    await phones[0].do(() => finish('2026-11-29T09:00:00Z'));
    await phones[1].do(() => finish('2026-11-29T09:00:20Z'));
    for (const phone of [...phones, ...phones]) await phone.sync();
    for (const phone of phones)
      await phone.do(async () => {
        expect(await records('bag')).toHaveLength(3);
        expect(await bagged_g()).toBe(2000);
      });
  });
});
