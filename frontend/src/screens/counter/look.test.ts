import { beforeEach, describe, expect, it } from 'vitest';
import { app, create, records } from '../../db/store.svelte';
import { ModelServer } from '../../test/model-server';
import { INES, Phone } from '../../test/phone';
import { inStore_g, readLarder } from '../stores/larder';
import { daysOf, inHand, inHand_g, takeBack, throwAway } from './look';

const LIVER = 'usda-13325';
const here = {
  tables: null,
  names: (food: string) => food,
  classOf: () => 'organs',
  // Cold food storage chart of FoodSafety.gov: organs keep 1 to 2 days in the fridge.
  keeping: [
    {
      class: 'organs',
      place: 'fridge',
      days_min: 1,
      days_max: 2,
      source: 'foodsafety-gov',
      locator: '',
      verified: 'read',
    },
  ] as const,
  fridge_c: null,
  today: '2026-11-25',
  zone: 'Europe/London',
  units: 'metric',
} as const;
const NOW = Date.parse('2026-11-25T09:00:00Z');
let phone: Phone;

async function lot(values: object, mass_g: number): Promise<string> {
  const of = await create('lot', { food: LIVER, pack_mass_g: 300, place: 'freezer', ...values });
  await create('movement', { of, what: 'stored', mass_g, at: '2026-11-01T08:00:00Z' });
  return of;
}

beforeEach(async () => {
  app.keeping = 'unsaid';
  phone = await Phone.open(new ModelServer(), INES);
});

describe('the pack in hand', () => {
  it('is the thawed one, and all that is thawed of it', () =>
    phone.do(async () => {
      await lot({ frozen_on: '2026-08-01' }, 600);
      const thawed = await lot({ frozen_on: '2026-10-01' }, 900);
      const at = '2026-11-24T08:00:00Z';
      await create('movement', { of: thawed, what: 'thawed', mass_g: 600, at, way: 'fridge' });
      const found = inHand(await readLarder(), LIVER);
      expect(found?.rec.rid).toBe(thawed);
      expect(found && inHand_g(found)).toBe(600);
    }));

  it('is one pack where nothing is thawed, and never more than there is', () =>
    phone.do(async () => {
      await lot({}, 200);
      const found = inHand(await readLarder(), LIVER);
      expect(found && inHand_g(found)).toBe(200);
    }));
});

describe('its day', () => {
  it('is over in the fridge once the chart says so', () =>
    phone.do(async () => {
      await lot({ place: 'fridge', bought_on: '2026-11-23' }, 300);
      const larder = await readLarder();
      const found = daysOf(inHand(larder, LIVER), { ...here, larder }, NOW);
      expect(found).toEqual({ words: 'Past its day, 24 Nov', isPast: true });
    }));

  it('stops nothing that lies in the freezer: there it is about quality', () =>
    phone.do(async () => {
      await lot({ best_by: '2026-09-01' }, 300);
      const larder = await readLarder();
      const found = daysOf(inHand(larder, LIVER), { ...here, larder }, NOW);
      expect(found.isPast).toBe(false);
      expect(found.words).toContain('In the freezer');
    }));

  it('is on the pack alone where the stores know nothing', () =>
    phone.do(async () => {
      const larder = await readLarder();
      expect(daysOf(null, { ...here, larder }, NOW).words).toContain('look at its pack');
    }));
});

describe('what is not good', () => {
  it('leaves the ledger with its reason, and comes back once when that is undone', () =>
    phone.do(async () => {
      const batch = await create('batch', { method: 'ground', stage: 'weighing' });
      const of = await lot({}, 600);
      const at = '2026-11-25T09:00:00Z';
      const given = { of, mass_g: 300, batch, signs: ['smell', 'colour'], at } as const;
      const movement = await throwAway(given);
      expect(inStore_g(await readLarder()).get(LIVER)).toBe(300);
      const [thrown] = await records('movement', { where: ({ what }) => what === 'discarded' });
      expect(thrown?.values).toMatchObject({ of, mass_g: 300, batch });
      expect(thrown?.values.note).toBe('Not good at the counter: colour, smell');
      await takeBack(movement);
      await takeBack(movement);
      expect(inStore_g(await readLarder()).get(LIVER)).toBe(600);
    }));
});
