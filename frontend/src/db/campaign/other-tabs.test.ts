/** Other tabs and other builds: frozen, in the way, older, newer. */

import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import type { SyncServer } from '../../api/sync.ts';
import { bodyHash } from '../../domain/canonical.ts';
import { uuid7 } from '../../domain/ids.ts';
import { loseReply, ModelServer } from '../../test/model-server.ts';
import { HOUSEHOLD, INES, Phone } from '../../test/phone.ts';
import { onStoreTrouble, openHousehold, type StoreTrouble } from '../open.ts';
import { GENERATION } from '../schema.ts';
import { SyncLoop } from '../sync/loop.ts';
import { create } from '../write.ts';
import { soon } from '../../test/soon.ts';

// Every step of every write is many writes; a slow machine takes its time over them.
vi.setConfig({ testTimeout: 120_000 });

let server: ModelServer;
let troubles: (StoreTrouble | null)[];

beforeEach(() => {
  server = new ModelServer();
  troubles = [];
  onStoreTrouble((trouble) => troubles.push(trouble));
});

afterEach(() => {
  vi.useRealTimers();
  vi.unstubAllGlobals();
});

/** Locks as browsers keep them: one holder a name, until its work ends. */
function stubLocks(): void {
  const held = new Set<string>();
  const request = async (
    name: string,
    _options: object,
    work: (lock: object | null) => Promise<boolean>,
  ): Promise<boolean> => {
    if (held.has(name)) return work(null);
    held.add(name);
    try {
      return await work({});
    } finally {
      held.delete(name);
    }
  };
  vi.stubGlobal('navigator', { locks: { request } });
  vi.stubGlobal('BroadcastChannel', undefined);
}

test('fault_37 a tab frozen in the middle of a round holds up nothing, and wakes without harm', async () => {
  stubLocks();
  vi.useFakeTimers({ toFake: ['Date'] });
  const phone = await Phone.open(server, INES);
  await phone.do(() => create('dog', { name: 'Morag' }));
  let thaw: () => void = () => undefined;
  const ice = new Promise<void>((resolve) => (thaw = resolve));
  const frozenServer: SyncServer = {
    push: async (household, body) => {
      await ice;
      return server.push(household, body);
    },
    changes: (household, cursor, mark) => server.changes(household, cursor, mark),
  };
  const frozen = new SyncLoop(phone.context, { server: frozenServer });
  const alive = new SyncLoop(phone.signIn(INES).context, { server });
  const asleep = frozen.syncNow();
  await alive.syncNow();
  expect(server.log).toHaveLength(0);
  vi.setSystemTime(Date.now() + 61_000);
  await alive.syncNow();
  expect(server.log).toHaveLength(1);
  thaw();
  await asleep;
  await alive.syncNow();
  expect(server.log).toHaveLength(1);
  expect(await phone.states()).toEqual(['applied']);
  frozen.stop();
  alive.stop();
});

function rawOpen(name: string, version?: number): Promise<IDBDatabase> {
  return new Promise((resolve, reject) => {
    const asked = indexedDB.open(name, version);
    asked.onsuccess = () => {
      resolve(asked.result);
    };
    asked.onerror = () => {
      reject(new Error('The store did not open.'));
    };
  });
}

test('fault_27 an upgrade held up by another tab says so, and goes on when that one closes', async () => {
  const name = `trencher-${uuid7()}`;
  const oldTab = await rawOpen(name, 1);
  const opening = openHousehold(HOUSEHOLD, name);
  await soon(() => {
    expect(troubles).toContain('blocked');
  });
  oldTab.close();
  const db = await opening;
  expect(db.isOpen()).toBe(true);
  db.close();
});

test('fault_28 an older build neither opens nor changes the store of a newer one', async () => {
  const phone = await Phone.open(server, INES);
  await phone.do(() => create('dog', { name: 'Morag' }));
  const { name } = phone.db;
  phone.db.close();
  const newer = (GENERATION + 1) * 10;
  const upgraded = await rawOpen(name, newer);
  const stores = [...upgraded.objectStoreNames];
  upgraded.close();
  await expect(openHousehold(HOUSEHOLD, name)).rejects.toMatchObject({ reason: 'newer' });
  expect(troubles).toEqual(['newer']);
  const again = await rawOpen(name);
  expect(again.version).toBe(newer);
  expect([...again.objectStoreNames]).toEqual(stores);
  const kept = await new Promise((resolve) => {
    const asked = again.transaction('ops').objectStore('ops').getAll();
    asked.onsuccess = () => {
      resolve(asked.result);
    };
  });
  expect(kept).toHaveLength(1);
  again.close();
});

test('fault_24 what waited through an update goes out as it was written, once, and is read anew', async () => {
  const phone = await Phone.open(server, INES);
  const dog = await phone.do(() => create('dog', { name: 'Morag', breed: 'schnauzer' }));
  const [written] = await phone.ops();
  const updated = await phone.restart();
  // The newer server keeps the breed elsewhere; entries of older apps are read that way.
  server.upcast = (op) => {
    if (op.schema > 1 || !('breed' in op.set)) return op;
    const { breed, ...set } = op.set;
    const { breed: seen, ...rest } = op.seen;
    return {
      ...op,
      set: { ...set, vet_notes: breed },
      seen: seen ? { ...rest, vet_notes: seen } : rest,
    };
  };
  server.after = () => loseReply();
  await updated.failToSync();
  server.after = () => undefined;
  await updated.sync();
  expect(server.log).toHaveLength(1);
  expect(server.log[0]?.op).toEqual(written?.body);
  expect(server.log[0]?.hash).toBe(bodyHash(written?.body));
  expect(await updated.states()).toEqual(['applied']);
  expect(await updated.value(dog, 'vet_notes')).toBe('schnauzer');
  expect(await updated.value(dog, 'breed')).toBeUndefined();
});
