import { beforeEach, describe, expect, it } from 'vitest';
import { app, conflicts, create, edit, record, records, type Rec } from '../../db/store.svelte';
import { ModelServer } from '../../test/model-server';
import { CALLUM, INES, Phone } from '../../test/phone';
import { draftOf, savePlan, type PlanDraft } from './draft';

const ZONE = 'Europe/Berlin';
const HEART = { food: 'usda-13321', mass_g: 2000 };
const LIVER = { food: 'usda-05027', mass_g: 300 };
let ines: Phone;
let callum: Phone;
let rid: string;

async function batch(): Promise<Rec<'batch'>> {
  const found = await record('batch', rid);
  if (!found) throw new Error('the batch is not here');
  return found;
}

async function syncAll(): Promise<void> {
  for (const phone of [ines, callum, ines, callum]) await phone.sync();
}

/** A draft as it is begun on the page of the batch and kept on the phone. */
async function begun(): Promise<PlanDraft> {
  const opened = await batch();
  return JSON.parse(JSON.stringify({ ...draftOf(opened.values), opened })) as PlanDraft;
}

beforeEach(async () => {
  const server = new ModelServer();
  // Already asked: the test has no browser whose promise could be had.
  app.keeping = 'unsaid';
  ines = await Phone.open(server, INES);
  callum = await Phone.open(server, CALLUM);
  await ines.do(async () => {
    const planned_for = '2026-10-24';
    const values = { method: 'ground', stage: 'planned', days: 3, planned_for } as const;
    rid = await create('batch', { ...values, plan: [HEART] });
    const of = await create('lot', { food: HEART.food, pack_mass_g: 500 });
    // Ten in the evening, in summer time still.
    const needed_at = '2026-10-24T20:00:00Z';
    await create('pull', { of, pack_mass_g: 500, packs: 4, needed_at, batch: rid });
    await create('pull', { of, pack_mass_g: 500, packs: 1, needed_at });
  });
  await syncAll();
});

describe('a draft of a batch', () => {
  it('takes nothing back that somebody else planned meanwhile', async () => {
    const draft = await ines.do(begun);
    await callum.do(async () => edit(await batch(), { plan: [HEART, LIVER] }));
    await syncAll();
    await ines.do(async () => savePlan(await batch(), { ...draft, days: 4 }, ZONE));
    await syncAll();
    for (const phone of [ines, callum])
      await phone.do(async () => {
        expect((await batch()).values).toMatchObject({ days: 4, plan: [HEART, LIVER] });
        expect(await conflicts()).toEqual([]);
      });
  });

  it('stands beside what somebody else planned of the same', async () => {
    const draft = await ines.do(begun);
    await callum.do(async () => edit(await batch(), { plan: [LIVER] }));
    await syncAll();
    await ines.do(async () => savePlan(await batch(), { ...draft, lines: [HEART, LIVER] }, ZONE));
    await syncAll();
    await callum.do(async () => {
      const plans = (await batch()).also['plan']?.map(({ value }) => value);
      expect(plans).toHaveLength(2);
      expect(plans).toEqual(expect.arrayContaining([[LIVER], [HEART, LIVER]]));
    });
  });

  it('puts off the hour its packs are thawed for with the day, and no other', async () => {
    await ines.do(async () => {
      await savePlan(await batch(), { ...(await begun()), plannedFor: '2026-10-26' }, ZONE);
      const needed = (await records('pull')).map(({ values }) => [values.packs, values.needed_at]);
      // Ten in the evening again, by now in winter time.
      expect(Object.fromEntries(needed)).toEqual({
        4: '2026-10-26T21:00:00Z',
        1: '2026-10-24T20:00:00Z',
      });
    });
  });

  it('puts the packs off once, though somebody else had put the batch off to the same day', async () => {
    const draft = await ines.do(begun);
    const plannedFor = '2026-10-26';
    await callum.do(async () => savePlan(await batch(), { ...(await begun()), plannedFor }, ZONE));
    await syncAll();
    await ines.do(async () => {
      await savePlan(await batch(), { ...draft, plannedFor }, ZONE);
      const [pull] = await records('pull', { where: (each) => each.batch === rid });
      expect(pull?.values.needed_at).toBe('2026-10-26T21:00:00Z');
    });
  });
});
