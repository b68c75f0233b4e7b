/** What the phone remembers beside the records: who is signed in, the tables, the members. */

import { DeviceDatabase, type CachedJson } from './schema.ts';

let device: DeviceDatabase | null = null;

function database(): DeviceDatabase {
  device ??= new DeviceDatabase();
  return device;
}

export async function remembered(key: string): Promise<CachedJson | undefined> {
  return database().cache.get(key);
}

export async function remember(
  key: string,
  value: unknown,
  etag: string | null = null,
): Promise<void> {
  await database().cache.put({ key, value, etag });
}

export async function forget(key: string): Promise<void> {
  await database().cache.delete(key);
}

/** Tests start with an empty device. */
export async function wipeDevice(): Promise<void> {
  await database().delete();
  device = null;
}
