/** What the browser says of the store: whether it will be kept, and how much room there is. */

import { app, reportError, type Room } from './state.svelte.ts';

/** The room changes slowly, and asking walks through the whole store in some browsers. */
const LOOK_AGAIN_MS = 60_000;
const FULL_SHARE = 0.8;
const LEAST_LEFT_BYTES = 50 * 1024 * 1024;

let lookedAt = 0;
let isAsking = false;

function storage(): Partial<StorageManager> | undefined {
  return (globalThis.navigator as Partial<Navigator> | undefined)?.storage;
}

/**
 * Asks the browser, once something is worth keeping, never to drop the store for room.
 *
 * It may answer differently once the app is on the home screen, so a refusal is asked
 * again with the next start.
 */
export async function askToKeep(): Promise<void> {
  void lookAtRoom();
  if (app.keeping !== null || isAsking) return;
  isAsking = true;
  try {
    const asked = storage();
    if (!asked?.persist || !asked.persisted) app.keeping = 'unsaid';
    else if ((await asked.persisted()) || (await asked.persist())) app.keeping = 'kept';
    else app.keeping = 'may be cleared';
  } catch (error) {
    app.keeping = 'unsaid';
    reportError(error);
  } finally {
    isAsking = false;
  }
}

/** Looks how much room is left, and whether a promise was given before; asks for nothing. */
export async function lookAtRoom(now: number = Date.now()): Promise<void> {
  if (now - lookedAt < LOOK_AGAIN_MS) return;
  lookedAt = now;
  try {
    const asked = storage();
    if (app.keeping === null && (await asked?.persisted?.())) app.keeping = 'kept';
    const { usage, quota } = (await asked?.estimate?.()) ?? {};
    app.room = usage === undefined || quota === undefined ? null : { usage, quota };
  } catch (error) {
    reportError(error);
  }
}

/** Little enough that an entry might not fit: more than 80 % taken, or less than 50 MB left. */
export function isShort(room: Room | null): boolean {
  if (room === null || room.quota <= 0) return false;
  return room.usage > FULL_SHARE * room.quota || room.quota - room.usage < LEAST_LEFT_BYTES;
}

/** Tests start as if nothing had been asked. */
export function forgetKeeping(): void {
  lookedAt = 0;
  app.keeping = null;
  app.room = null;
}
