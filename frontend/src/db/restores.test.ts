/** Restores that meet a change of role, a fault or an own entry: what only this phone still shows is listed. */

import { beforeEach, expect, test } from 'vitest';
import { ApiError } from '../api/client.ts';
import { ModelServer } from '../test/model-server.ts';
import { CALLUM, INES, Phone } from '../test/phone.ts';
import { record, type Rec } from './read.ts';
import { losses, putBack } from './tray.ts';
import { create, edit } from './write.ts';

let server: ModelServer;
let ines: Phone;
let callum: Phone;

beforeEach(async () => {
  server = new ModelServer();
  ines = await Phone.open(server, INES);
  callum = await Phone.open(server, CALLUM);
});

async function dogOf(phone: Phone, rid: string): Promise<Rec<'dog'>> {
  const found = await phone.do(() => record('dog', rid));
  if (!found) throw new Error(`dog ${rid} is not on this phone`);
  return found;
}

/** A dog by Callum that came after the backup, and that Ines has on her screen. */
async function lostDog(): Promise<{ rid: string; backup: ReturnType<ModelServer['backup']> }> {
  const backup = server.backup();
  const rid = await callum.do(() => create('dog', { name: 'Tansy', vet_notes: 'shy' }));
  await callum.sync();
  await ines.sync();
  return { rid, backup };
}

test('fault_32 fault_33 a restore that brings an older role back hides no loss', async () => {
  const { rid, backup } = await lostDog();
  server.restore(backup);
  server.role = 'partner';
  await ines.sync();
  expect(await ines.do(() => losses())).toMatchObject([{ rid, registers: null }]);
});

test('fault_32 fault_33 a restore between a new role and its full pull hides no loss', async () => {
  const { rid, backup } = await lostDog();
  server.role = 'partner';
  let requests = 0;
  server.before = () => {
    requests += 1;
    if (requests === 2) server.restore(backup);
  };
  await ines.sync();
  expect(await ines.do(() => losses())).toMatchObject([{ rid, registers: null }]);
});

test('fault_32 fault_33 what the new role may not see is not listed as lost', async () => {
  const backup = server.backup();
  await callum.do(() => create('lot', { food: 'usda-05027', pack_mass_g: 500 }));
  await callum.sync();
  await ines.sync();
  server.restore(backup);
  server.role = 'sitter';
  await ines.sync();
  expect(await ines.do(() => losses())).toEqual([]);
});

test('fault_32 an own edit of a lost record does not hide the loss', async () => {
  const { rid, backup } = await lostDog();
  const seen = await dogOf(ines, rid);
  await ines.do(() => edit(seen, { name: 'Tansy B' }));
  server.restore(backup);
  await ines.sync();
  const [lost] = await ines.do(() => losses());
  expect(lost).toMatchObject({ rid, registers: null });
  if (lost) await ines.do(() => putBack(lost));
  await ines.sync();
  expect(await ines.states()).toEqual(['applied', 'applied']);
  expect((await dogOf(ines, rid)).values).toMatchObject({ vet_notes: 'shy' });
});

test('fault_32 own entries stay on screen when the server fails while they are sent again', async () => {
  const rid = await ines.do(() => create('dog', { name: 'Morag' }));
  await ines.sync();
  const backup = server.backup();
  const seen = await dogOf(ines, rid);
  await ines.do(() => edit(seen, { name: 'Morag B' }));
  await ines.sync();
  server.restore(backup);
  server.before = (call) => {
    if (call === 'push') throw new ApiError(500, 'fault', 'Broken.');
  };
  await ines.sync();
  expect(await ines.value(rid, 'name')).toBe('Morag B');
  server.before = () => undefined;
  await ines.sync();
  expect(await ines.value(rid, 'name')).toBe('Morag B');
  expect(await ines.do(() => losses())).toEqual([]);
});
