/** Opens a household's database, and stops where going on could spoil it. */

import Dexie from 'dexie';
import { uuid7 } from '../domain/ids.ts';
import type { Context } from './context.ts';
import { NotSaved } from './errors.ts';
import { GENERATION, HouseholdDatabase } from './schema.ts';
import { START } from './sync/position.ts';

/** What a person has to know about the store. */
export type StoreTrouble =
  /** Another tab has updated the app: this one must reload. */
  | 'updated'
  /** Another tab keeps the old version open and holds up the update. */
  | 'blocked'
  /** A newer app has written here: this one must not. */
  | 'newer'
  /** The browser lost the store and did not give it back. */
  | 'lost';

/** Dexie multiplies its version numbers by this for the browser. */
const DEXIE_FACTOR = 10;

/** null: what was reported is over. */
type Listener = (trouble: StoreTrouble | null) => void;

let report: Listener = () => undefined;

export function onStoreTrouble(listener: Listener): void {
  report = listener;
}

/** Looks at the version before opening: Dexie would add its own stores to a newer database. */
async function assertNotNewer(name: string): Promise<void> {
  const factory = indexedDB as Partial<IDBFactory>;
  const databases = (await factory.databases?.()) ?? [];
  const version = databases.find((database) => database.name === name)?.version ?? 0;
  if (version < (GENERATION + 1) * DEXIE_FACTOR) return;
  report('newer');
  throw new NotSaved('newer');
}

/** Dexie opens a newer store with older code without a word, so this is checked here. */
async function checkGeneration(db: HouseholdDatabase): Promise<void> {
  const known = await db.meta.get('generation');
  const generation = known?.key === 'generation' ? known.value : GENERATION;
  const version = db.backendDB().version / DEXIE_FACTOR;
  if (generation > GENERATION || version >= GENERATION + 1) {
    db.close();
    report('newer');
    throw new NotSaved('newer');
  }
  if (known?.key !== 'generation') await db.meta.put({ key: 'generation', value: GENERATION });
}

async function prepare(db: HouseholdDatabase): Promise<void> {
  await db.transaction('rw', db.meta, async () => {
    if (!(await db.meta.get('device'))) {
      await db.meta.put({ key: 'device', device_id: uuid7(), n: 0, authors: [] });
    }
    if (!(await db.meta.get('sync'))) await db.meta.put(START);
  });
  await db.look();
}

/** `name` is given by tests alone, which keep several phones in one browser. */
export async function openHousehold(household: string, name?: string): Promise<HouseholdDatabase> {
  const db = new HouseholdDatabase(household, name);
  await assertNotNewer(db.name);
  db.on('versionchange', () => {
    db.close();
    report('updated');
    return false;
  });
  let wasBlocked = false;
  db.on('blocked', () => {
    wasBlocked = true;
    report('blocked');
  });
  try {
    await db.open();
    if (wasBlocked) report(null);
  } catch (error) {
    if (error instanceof Dexie.VersionError) {
      report('newer');
      throw new NotSaved('newer', error);
    }
    throw error;
  }
  await checkGeneration(db);
  await prepare(db);
  return db;
}

/** Opens a connection that died again. False if the browser refuses. */
export async function reopen({ db }: Context): Promise<boolean> {
  try {
    db.close({ disableAutoOpen: false });
    await db.open();
    await checkGeneration(db);
    return true;
  } catch (error) {
    if (error instanceof NotSaved) throw error;
    report('lost');
    return false;
  }
}
