/**
 * Own entries of stores that are not open: because a newer build wrote them, or because nobody who
 * is signed in belongs to their household any more. Read past the app's own database code, with
 * whatever version the browser has; nothing is changed.
 */

import type { Op } from '../domain/protocol.ts';
import { opFile } from './op-file.ts';
import { DEVICE_DATABASE, householdDatabaseName } from './schema.ts';

function opened(name: string): Promise<IDBDatabase> {
  return new Promise((resolve, reject) => {
    const asked = indexedDB.open(name);
    asked.onsuccess = () => {
      const db = asked.result;
      db.onversionchange = () => {
        db.close();
      };
      resolve(db);
    };
    asked.onerror = () => {
      reject(asked.error ?? new Error(`The store ${name} did not open.`));
    };
  });
}

function values(db: IDBDatabase, store: string): Promise<unknown[]> {
  if (!db.objectStoreNames.contains(store)) return Promise.resolve([]);
  return new Promise((resolve, reject) => {
    const asked = db.transaction(store).objectStore(store).getAll();
    asked.onsuccess = () => {
      resolve(asked.result);
    };
    asked.onerror = () => {
      reject(asked.error ?? new Error(`The entries of ${db.name} could not be read.`));
    };
  });
}

/** What a person threw away stays out: taken in elsewhere it would be sent after all. */
function bodyOf(stored: unknown): Op[] {
  const { body, state } = stored as { body?: Op; state?: string };
  return body && typeof body.n === 'number' && state !== 'discarded' ? [body] : [];
}

async function opsOf(name: string): Promise<Op[]> {
  const db = await opened(name);
  try {
    return (await values(db, 'ops')).flatMap(bodyOf);
  } finally {
    db.close();
  }
}

/** The entries of every household on this phone, as files that can be taken in again: one each. */
export async function salvage(): Promise<Blob[]> {
  const factory = indexedDB as Partial<IDBFactory>;
  const databases = (await factory.databases?.()) ?? [];
  const names = databases.flatMap(({ name }) => (name === undefined ? [] : [name]));
  const own = names.filter(
    (name) => name.startsWith(householdDatabaseName('')) && name !== DEVICE_DATABASE,
  );
  const files = await Promise.all(own.map(opsOf));
  return files.filter((ops) => ops.length > 0).map(opFile);
}
