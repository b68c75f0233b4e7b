/** What must not go wrong when the phone itself cannot keep up. */

import Dexie from 'dexie';
import { beforeEach, expect, test, vi } from 'vitest';
import { uuid7 } from '../domain/ids.ts';
import { ModelServer } from '../test/model-server.ts';
import { HOUSEHOLD, Phone } from '../test/phone.ts';
import { NotSaved, problems } from './errors.ts';
import { onStoreTrouble, openHousehold, type StoreTrouble } from './open.ts';
import { GENERATION } from './schema.ts';
import { app } from './state.svelte.ts';
import { create } from './write.ts';
import { soon } from '../test/soon.ts';

let troubles: (StoreTrouble | null)[];

beforeEach(() => {
  troubles = [];
  onStoreTrouble((trouble) => troubles.push(trouble));
});

test('fault_28 an older build does not touch the store of a newer one', async () => {
  const phone = await Phone.open(new ModelServer());
  const name = phone.db.name.replace('trencher-', '');
  await phone.db.meta.put({ key: 'generation', value: GENERATION + 1 });
  phone.db.close();
  await expect(openHousehold(HOUSEHOLD, `trencher-${name}`)).rejects.toMatchObject({
    name: 'NotSaved',
    reason: 'newer',
  });
  expect(troubles).toEqual(['newer']);
});

test('fault_28 a higher version of the database itself stops too', async () => {
  const name = `trencher-${uuid7()}`;
  const newer = new Dexie(name);
  newer.version(GENERATION + 1).stores({ meta: 'key' });
  await newer.open();
  newer.close();
  await expect(openHousehold(HOUSEHOLD, name)).rejects.toMatchObject({ reason: 'newer' });
});

test('fault_27 another tab’s upgrade closes this one and asks to reload', async () => {
  const phone = await Phone.open(new ModelServer());
  const newer = new Dexie(phone.db.name);
  newer.version(GENERATION + 1).stores({ meta: 'key', extra: 'id' });
  await newer.open();
  expect(troubles).toContain('updated');
  expect(phone.db.isOpen()).toBe(false);
  newer.close();
});

test('fault_27 an update that another tab holds up says so, and goes on when it is closed', async () => {
  const phone = await Phone.open(new ModelServer());
  const { name } = phone.db;
  phone.db.close();
  const old = await new Promise<IDBDatabase>((resolve, reject) => {
    // Deleted and made anew with a lower version: what an older build holds open.
    indexedDB.deleteDatabase(name).onsuccess = () => {
      const asked = indexedDB.open(name, 1);
      asked.onsuccess = () => resolve(asked.result);
      asked.onerror = () => reject(asked.error ?? new Error('not opened'));
    };
  });
  const opening = openHousehold(HOUSEHOLD, name);
  await soon(() => expect(troubles).toEqual(['blocked']));
  old.close();
  const db = await opening;
  expect(troubles).toEqual(['blocked', null]);
  db.close();
});

test('the mark knows of an entry before it is called saved', async () => {
  const phone = await Phone.open(new ModelServer());
  app.waiting = 0;
  app.syncedAt = Date.now();
  await phone.do(() => create('dog', { name: 'Morag' }));
  expect(app.waiting).toBe(1);
  expect(app.mark.state).not.toBe('synced');
});

test('fault_29 no room: "not saved", and nothing half there', async () => {
  const phone = await Phone.open(new ModelServer());
  const full = new DOMException('full', 'QuotaExceededError');
  vi.spyOn(phone.db.ops, 'bulkAdd').mockRejectedValueOnce(full);
  const error = await phone.do(() => create('dog', { name: 'Morag' })).catch((e: unknown) => e);
  expect(error).toBeInstanceOf(NotSaved);
  expect(error).toMatchObject({ reason: 'full' });
  expect(problems(error)).toMatch(/^Not saved: this phone has no room left/);
  expect(await phone.db.records.count()).toBe(0);
  expect(await phone.db.ops.count()).toBe(0);
});

test('fault_30 a connection that died is opened again, once, and the entry is kept', async () => {
  const phone = await Phone.open(new ModelServer());
  phone.db.close();
  const dog = await phone.do(() => create('dog', { name: 'Morag' }));
  expect(await phone.value(dog, 'name')).toBe('Morag');
});

test('fault_30 a store that does not come back prompts instead', async () => {
  const phone = await Phone.open(new ModelServer());
  phone.db.close();
  vi.spyOn(phone.db, 'open').mockRejectedValue(new Error('Connection to Indexed Database lost'));
  const write = phone.do(() => create('dog', { name: 'Morag' }));
  await expect(write).rejects.toMatchObject({ name: 'NotSaved', reason: 'lost' });
  expect(troubles).toEqual(['lost']);
});

test('fault_31 a wiped store is a new device and reuses no number', async () => {
  const server = new ModelServer();
  const phone = await Phone.open(server);
  await phone.do(() => create('dog', { name: 'Morag' }));
  await phone.sync();
  const fresh = await Phone.open(server);
  await fresh.sync();
  await fresh.do(() => create('dog', { name: 'Pascoe' }));
  await fresh.sync();
  const [first, second] = server.log.map((entry) => entry.op);
  expect(first?.device_id).not.toBe(second?.device_id);
  expect(await fresh.db.records.count()).toBe(2);
});

test('writes are asked to reach the disk, not just the system', async () => {
  const phone = await Phone.open(new ModelServer());
  const durability = (phone.db as unknown as { _options: { chromeTransactionDurability: string } })
    ._options.chromeTransactionDurability;
  expect(durability).toBe('strict');
});
