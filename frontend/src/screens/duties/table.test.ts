import { expect, it } from 'vitest';
import { app, create } from '../../db/store.svelte';
import { ModelServer } from '../../test/model-server';
import { INES, Phone } from '../../test/phone';
import { readTable } from '../today/table';

it('a day’s table holds the duties of the rotas beside the rest', async () => {
  app.keeping = 'unsaid';
  const ines = await Phone.open(new ModelServer(), INES);
  await ines.do(async () => {
    const rota = { what: 'feed', starts_on: '2026-11-25', time: '08:00' } as const;
    await create('rota', { ...rota, repeats: { every_days: 1 }, turns: [INES] });
    const { duties } = await readTable('2026-11-25');
    expect(duties.map(({ values }) => values.due_at)).toContain('2026-11-25T08:00:00Z');
  });
});
