import { expect, it } from 'vitest';
import { app, create, record, records } from '../../db/store.svelte';
import { ModelServer } from '../../test/model-server';
import { INES, Phone } from '../../test/phone';
import { emptyShelves } from '../stores/larder';
import { mix, putInto } from './batch-steps';

it('is under way with the first food, where no caution was to be read before', async () => {
  // Already asked: the test has no browser whose promise could be had.
  app.keeping = 'unsaid';
  const phone = await Phone.open(new ModelServer(), INES);
  await phone.do(async () => {
    // Oats and dry food: neither raw nor bony, so that nothing has to be ticked.
    const rid = await create('batch', { method: 'dry_mix', stage: 'planned' });
    const read = async () => {
      const batch = await record('batch', rid);
      if (!batch) throw new Error('the batch is not on this phone');
      return batch;
    };
    const put = async (mass_g: number) =>
      putInto(await read(), emptyShelves, { food: 'oats', mass_g, at: '2026-11-25T09:00:00Z' });
    await put(200);
    expect((await read()).values).toMatchObject({ stage: 'weighing' });
    await put(40);
    await mix(await read(), [], '2026-11-25T09:05:00Z');
    expect((await read()).values.stage).toBe('mixed');
    const weighed = await records('weigh_in', { owner: rid });
    expect(weighed.map(({ values }) => values.mass_g).sort()).toEqual([200, 40]);
  });
});
