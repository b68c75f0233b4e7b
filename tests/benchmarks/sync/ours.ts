/** The phone's own store and sync, in a page of the server it syncs with. */

import { getSession } from '../../../frontend/src/api/accounts.ts';
import { useCsrfToken } from '../../../frontend/src/api/client.ts';
import { syncServer, type SyncServer } from '../../../frontend/src/api/sync.ts';
import { current, setCurrent } from '../../../frontend/src/db/context.ts';
import { openHousehold } from '../../../frontend/src/db/open.ts';
import { records as read } from '../../../frontend/src/db/read.ts';
import { HouseholdDatabase } from '../../../frontend/src/db/schema.ts';
import { freshMemory } from '../../../frontend/src/db/sync/push-all.ts';
import { kept } from '../../../frontend/src/db/sync/queue.ts';
import { syncRound } from '../../../frontend/src/db/sync/round.ts';
import { create, transact } from '../../../frontend/src/db/write.ts';

interface Weighing {
  id: string;
  dog: string;
  at: string;
  mass_g: number;
}

const BATCH = 500;

async function inBatches<T>(
  all: readonly T[],
  work: (some: T[]) => Promise<unknown>,
): Promise<void> {
  for (let at = 0; at < all.length; at += BATCH) await work(all.slice(at, at + BATCH));
}

/** A round of sync; says how long it took until everything was pushed, and as a whole. */
async function round(): Promise<{ push_ms: number; pull_ms: number }> {
  const begun = performance.now();
  let pushed: number | null = null;
  const watched: SyncServer = {
    ...syncServer,
    changes: (...request) => {
      pushed ??= performance.now();
      return syncServer.changes(...request);
    },
  };
  const { fault } = await syncRound(current(), watched, freshMemory());
  if (fault) throw fault;
  const ended = performance.now();
  return {
    push_ms: (pushed ?? ended) - begun,
    pull_ms: ended - (pushed ?? ended),
  };
}

async function timed(work: () => Promise<unknown>): Promise<number> {
  const begun = performance.now();
  await work();
  return performance.now() - begun;
}

/** The floor: the records alone, in a plain store of the browser, as durable as ours. */
async function writePlain(records: readonly Weighing[]): Promise<void> {
  const db = await new Promise<IDBDatabase>((resolve, reject) => {
    const request = indexedDB.open('plain', 1);
    request.onupgradeneeded = () => request.result.createObjectStore('rows', { keyPath: 'id' });
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(new Error('plain store'));
  });
  await inBatches(records, async (some) => {
    await new Promise<void>((resolve, reject) => {
      const transaction = db.transaction('rows', 'readwrite', {
        durability: 'strict',
      });
      for (const each of some) transaction.objectStore('rows').put(each);
      transaction.oncomplete = () => resolve();
      transaction.onabort = () => reject(new Error('plain store'));
    });
  });
  db.close();
}

/** The same data as ours, with its operations and indexes, written without any thought. */
async function writeBulk(): Promise<number> {
  const { db } = current();
  const [ops, rows] = [await db.ops.toArray(), await db.records.toArray()];
  const copy = new HouseholdDatabase('', 'bulk');
  await copy.open();
  const pairs = ops.map((op, index) => [op, rows[index]] as const);
  return timed(() =>
    inBatches(pairs, (some) =>
      copy.transaction('rw', [copy.ops, copy.records], async () => {
        await copy.ops.bulkPut(some.map(([op]) => op));
        await copy.records.bulkPut(some.flatMap(([, row]) => (row ? [row] : [])));
      }),
    ),
  ).finally(() => {
    copy.close();
  });
}

const bench = {
  async open(): Promise<void> {
    const session = await getSession();
    const [household] = session.households;
    if (!household) throw new Error('Nobody is signed in.');
    useCsrfToken(session.csrf_token);
    const db = await openHousehold(household.id);
    const { id, member_id: member, role } = household;
    setCurrent({ db, household: id, member, role });
  },

  async write(records: Weighing[]): Promise<void> {
    await inBatches(records, (some) =>
      transact(async () => {
        for (const { id: _ours, ...values } of some) await create('weighing', values);
      }),
    );
  },

  /** How long one entry takes from the tap to the disk, one after the other. */
  async taps(records: Weighing[]): Promise<number[]> {
    const spent: number[] = [];
    for (const { id: _ours, ...values } of records) {
      spent.push(await timed(() => create('weighing', values)));
      await new Promise((resolve) => setTimeout(resolve, 20));
    }
    return spent;
  },

  async push(): Promise<{ phase_ms: number; echo_ms: number }> {
    const { push_ms, pull_ms } = await round();
    return { phase_ms: push_ms, echo_ms: pull_ms };
  },

  /** As after lost replies: the phone does not know what became of any of its entries. */
  async resend(): Promise<{ phase_ms: number }> {
    const { ops } = current().db;
    await ops.bulkPut((await ops.toArray()).map((op) => kept({ ...op, state: 'sent' })));
    return { phase_ms: (await round()).push_ms };
  },

  async pull(): Promise<void> {
    await round();
  },

  async count(): Promise<number> {
    return (await read('weighing')).length;
  },

  async floors(records: Weighing[]): Promise<{ plain_ms: number; bulk_ms: number }> {
    return {
      plain_ms: await timed(() => writePlain(records)),
      bulk_ms: await writeBulk(),
    };
  },
};

export type Bench = typeof bench;

Object.assign(window, { bench });
