import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import vectors from '../../../../fixtures/vectors/nutrition.json' with { type: 'json' };
import { app, preferenceId, record } from '../../db/store.svelte';
import { readChoices } from '../../db/choices';
import type { Tables } from '../../domain/tables';
import { ModelServer } from '../../test/model-server';
import { CALLUM, HOUSEHOLD, INES, Phone } from '../../test/phone';
import { keepFridge } from './fridge';
import { readPreference } from './preference';
import { checkedWords, choices, chooseStandard } from './yardstick';

const tables = { ...(vectors.tables as unknown as Tables), sources: {} };

beforeEach(() => {
  // The store asks the browser to keep it once something was written.
  vi.stubGlobal('navigator', {});
});

afterEach(() => {
  vi.unstubAllGlobals();
  app.household = null;
});

async function phoneOf(server: ModelServer, member: string): Promise<Phone> {
  const phone = await Phone.open(server, member);
  app.household = {
    id: HOUSEHOLD,
    name: 'Larch Row',
    role: 'owner',
    member_id: member,
    time_zone: 'Europe/London',
    units: 'metric',
  };
  return phone;
}

test('a choice is known at once on the phone, and on the other after a round of sync', async () => {
  const server = new ModelServer();
  const ines = await phoneOf(server, INES);
  const callum = await phoneOf(server, CALLUM);
  expect((await ines.do(() => readChoices(ines.context))).standard).toBeNull();
  await ines.do(() => chooseStandard('aafco-2016'));
  expect((await ines.do(() => readChoices(ines.context))).standard).toBe('aafco-2016');
  await ines.sync();
  await callum.sync();
  expect((await callum.do(() => readChoices(callum.context))).standard).toBe('aafco-2016');
  await callum.do(() => chooseStandard('nrc-2006'));
  await callum.sync();
  await ines.sync();
  expect((await ines.do(() => readChoices(ines.context))).standard).toBe('nrc-2006');
});

test('two people who choose differently see both, and lose neither', async () => {
  const server = new ModelServer();
  const ines = await phoneOf(server, INES);
  const callum = await phoneOf(server, CALLUM);
  await ines.do(() => chooseStandard('aafco-2016'));
  await callum.do(() => chooseStandard('fediaf-2021'));
  await ines.sync();
  await callum.sync();
  await ines.sync();
  const found = await ines.do(() => record('preference', preferenceId(HOUSEHOLD)));
  const said = found?.also['standard']?.map((each) => each.value);
  expect(new Set(said)).toEqual(new Set(['aafco-2016', 'fediaf-2021']));
});

test('a fridge saved as the form was opened does not undo what was measured meanwhile', async () => {
  const server = new ModelServer();
  const ines = await phoneOf(server, INES);
  const callum = await phoneOf(server, CALLUM);
  const fridge = async (): Promise<number | null> => (await readChoices(ines.context)).fridge_c;
  await ines.do(() => keepFridge(4, undefined));
  await ines.sync();
  await callum.sync();
  const opened = await ines.do(readPreference);
  await callum.do(async () => keepFridge(6, await readPreference()));
  await callum.sync();
  await ines.sync();
  await ines.do(() => keepFridge(4, opened));
  expect(await ines.do(fridge)).toBe(6);
  await ines.do(() => keepFridge(5, opened));
  const found = await ines.do(readPreference);
  const said = found?.also['fridge_c']?.map((each) => each.value);
  expect(new Set(said)).toEqual(new Set([5, 6]));
});

test('each edition comes with a sentence and with how far it was checked', () => {
  const found = choices(tables);
  expect(found.map((each) => each.value)).toEqual(['nrc-2006', 'aafco-2016', 'fediaf-2021']);
  for (const choice of found) expect(choice.words).toMatch(/\.$/);
  const [nrc] = tables.standards;
  if (!nrc) throw new Error('no edition');
  expect(checkedWords(tables, nrc)[1]).toMatch(/of 41 figures for grown dogs are from memory/);
});
