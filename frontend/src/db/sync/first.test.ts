/** A new phone shows a few rows at once, and nothing depends on them. */

import { beforeEach, expect, test } from 'vitest';
import { loseReply, ModelServer } from '../../test/model-server.ts';
import { CALLUM, Phone } from '../../test/phone.ts';
import { count } from '../counts.ts';
import { record, records } from '../read.ts';
import { losses } from '../tray.ts';
import { create, edit } from '../write.ts';

const AT = '2026-11-25T06:30:00Z';
let server: ModelServer;
let dog: string;

beforeEach(async () => {
  server = new ModelServer();
  server.firstKinds = ['dog'];
  const ines = await Phone.open(server);
  dog = await ines.do(() => create('dog', { name: 'Morag' }));
  for (let i = 0; i < 5; i += 1) {
    await ines.do(() => create('weighing', { dog, at: AT, mass_g: 7900 + i }));
  }
  await ines.sync();
  server.pageSize = 2;
});

/** Callum's new phone, cut off after its first page. */
async function cutOff(): Promise<Phone> {
  const callum = await Phone.open(server, CALLUM);
  let pages = 0;
  server.before = (call) => {
    if (call === 'changes' && (pages += 1) === 2) loseReply();
  };
  await callum.failToSync();
  server.before = () => undefined;
  return callum;
}

test('the first rows are shown before the pull is complete, and it is not called synced', async () => {
  const callum = await cutOff();
  expect(await callum.do(() => records('dog'))).toHaveLength(1);
  expect(await callum.do(() => records('weighing'))).toEqual([]);
  expect(await count(callum.context)).toMatchObject({ syncedAt: null });
  const requests = server.requests;
  await callum.sync();
  expect(await callum.do(() => records('weighing'))).toHaveLength(5);
  expect(await callum.do(() => records('dog'))).toHaveLength(1);
  // Two pages were left: the first look is not asked for again, nor the page that was there.
  expect(server.requests - requests).toBe(2);
});

test('an edit made upon a first row is sound: it replaces what was seen, without a conflict', async () => {
  const callum = await cutOff();
  const rec = await callum.do(() => record('dog', dog));
  if (rec) await callum.do(() => edit(rec, { name: 'Morag of Larch Row' }));
  expect(await callum.value(dog, 'name')).toBe('Morag of Larch Row');
  await callum.sync();
  await callum.sync();
  expect(await callum.shown(dog)).toMatchObject({
    values: { name: 'Morag of Larch Row' },
    also: {},
    pending: false,
  });
  expect(server.rows().find((row) => row.rid === dog)?.also).toEqual({});
});

test('an entry made before the first look stays on top of it', async () => {
  const callum = await Phone.open(server, CALLUM);
  await callum.do(() => create('dog', { name: 'Tansy' }));
  await callum.sync();
  expect((await callum.do(() => records('dog'))).map((each) => each.values.name).sort()).toEqual([
    'Morag',
    'Tansy',
  ]);
});

test('without an answer to it the pull goes ahead', async () => {
  const callum = await Phone.open(server, CALLUM);
  server.before = (call) => {
    if (call === 'first') loseReply();
  };
  await callum.sync();
  expect(await callum.do(() => records('weighing'))).toHaveLength(5);
});

test('what it showed and a restored server lacks is listed', async () => {
  const callum = await cutOff();
  const ines = await Phone.open(server);
  server.pageSize = 100;
  await ines.sync();
  server.restore({ log: [], seq: 0 });
  await callum.sync();
  expect(await callum.do(() => records('dog'))).toEqual([]);
  expect(await callum.do(() => losses())).toMatchObject([{ rid: dog }]);
});
