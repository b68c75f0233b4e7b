import { expect, it } from 'vitest';
import vectors from '../../../../fixtures/vectors/thaw.json' with { type: 'json' };
import { app, create } from '../../db/store.svelte';
import type { Tables } from '../../domain/tables';
import { ModelServer } from '../../test/model-server';
import { INES, Phone } from '../../test/phone';
import { readRests, restPastUseBy, type KeptRest } from './rests';

// Days of the USDA's thawing advice (FSIS, The Big Thaw); raw offal keeps as long in a fridge.
const keeping = [
  { class: 'organs', place: 'thawed', days_min: 1, days_max: 2, source: 'fsis' },
  { class: 'organs', place: 'fridge', days_min: 1, days_max: 2, source: 'fsis' },
];
const tables = {
  thaw: vectors.tables,
  keeping,
  sources: { fsis: { title: 'The Big Thaw', publisher: 'USDA FSIS', year: 2013 } },
  foods: [{ key: 'liver', keeping_class: 'organs', v: { water: 70, fat: 4 } }],
} as unknown as Tables;
const setting = {
  tables,
  names: (food: string) => food,
  fridge_c: 4,
  today: '2026-11-28',
  zone: 'Europe/London',
  units: 'metric',
} as const;

async function restOf(thawed_at: string): Promise<unknown> {
  const phone = await Phone.open(new ModelServer(), INES);
  return phone.do(async () => {
    const pack = {
      pack_mass_g: 500,
      place: 'freezer',
      form: 'flat_bag',
      thickness_mm: 25,
    } as const;
    const of = await create('lot', { food: 'liver', ...pack });
    await create('movement', { of, what: 'stored', mass_g: 1000, at: '2026-11-01T08:00:00Z' });
    await create('movement', { of, what: 'thawed', mass_g: 500, at: thawed_at });
    const at = '2026-11-28T16:00:00Z';
    const made = { method: 'ground', stage: 'done', yield_g: 490, made_at: at } as const;
    const batch = await create('batch', made);
    await create('weigh_in', { batch, food: 'liver', mass_g: 500, at });
    await create('movement', { of, what: 'used', mass_g: 500, at, batch });
    const bag = { place: 'fridge', count: 1, mass_g: 400, packed_at: at } as const;
    await create('bag', { batch, ...bag });
    return (await readRests(setting)).map(({ rest_g, use_by }) => [rest_g, use_by]);
  });
}

it('keeps as the bags of its batch do, no longer than what thawed for it', async () => {
  app.keeping = 'unsaid';
  expect(await restOf('2026-11-28T06:00:00Z')).toEqual([[90, '2026-11-29']]);
  expect(await restOf('2026-11-26T18:00:00Z')).toEqual([[90, '2026-11-28']]);
});

it('is past its use-by on the day after it, and never where no table says', () => {
  const rest = (use_by: string | null) =>
    [{ batch: { rid: 'b' }, use_by }] as unknown as KeptRest[];
  const what = { food: null, batch: 'b', bag: null };
  expect(restPastUseBy(rest('2026-11-29'), what, '2026-11-30')).toBe('2026-11-29');
  expect(restPastUseBy(rest('2026-11-29'), what, '2026-11-29')).toBeNull();
  expect(restPastUseBy(rest('2026-11-29'), { ...what, batch: 'other' }, '2026-11-30')).toBeNull();
  expect(restPastUseBy(rest(null), what, '2026-11-30')).toBeNull();
});
