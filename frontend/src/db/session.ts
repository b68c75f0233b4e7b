/** Who is signed in on this phone, and which household is open. Works without the network. */

import {
  getHousehold,
  getSession,
  signOut as signOutAtServer,
  type Household,
  type Session,
  type SessionHousehold,
} from '../api/accounts.ts';
import { ApiError, NoAnswer, useCsrfToken } from '../api/client.ts';
import { getTables } from '../api/tables.ts';
import type { SyncServer } from '../api/sync.ts';
import type { Tables } from '../domain/tables.ts';
import { current, currentOrNull, onWrite, setCurrent, type Context } from './context.ts';
import { count, followCounts, show } from './counts.ts';
import { forget, remember, remembered } from './device.ts';
import { onStoreTrouble, openHousehold } from './open.ts';
import { app, reportError } from './state.svelte.ts';
import { SyncLoop } from './sync/loop.ts';

let loop: SyncLoop | null = null;
let stopCounting: () => void = () => undefined;
let server: SyncServer | undefined;
const channel = typeof BroadcastChannel === 'undefined' ? null : new BroadcastChannel('trencher');

onStoreTrouble((trouble) => {
  app.trouble = trouble;
});
onWrite(() => {
  loop?.kick();
  void persist();
});

/** Tests bring a server of their own. */
export function setSyncServer(other: SyncServer): void {
  server = other;
}

/** Asks the browser, once something is worth keeping, never to drop the store for room. */
async function persist(): Promise<void> {
  if (app.persisted !== null) return;
  const storage = (navigator as Partial<Navigator>).storage;
  app.persisted = false;
  if (!storage?.persist) return;
  try {
    app.persisted = (await storage.persisted()) || (await storage.persist());
  } catch (error) {
    reportError(error);
  }
}

async function closeHousehold(): Promise<void> {
  loop?.stop();
  loop = null;
  stopCounting();
  await Promise.resolve();
  currentOrNull()?.db.close();
  setCurrent(null);
  app.household = null;
  app.details = null;
  Object.assign(app, { waiting: 0, held: 0, refused: 0, conflicts: 0, lost: 0, syncedAt: null });
  app.standard = null;
  app.pause = null;
}

async function openContext(household: SessionHousehold): Promise<void> {
  const open = currentOrNull();
  const isOpen = open?.household === household.id && open.member === household.member_id;
  if (isOpen) {
    setCurrent({ ...open, role: household.role });
    show(await count(current()));
    app.household = household;
    return;
  }
  await closeHousehold();
  const db = await openHousehold(household.id);
  const context: Context = {
    db,
    household: household.id,
    member: household.member_id,
    role: household.role,
  };
  setCurrent(context);
  show(await count(context));
  app.household = household;
  stopCounting = followCounts();
  loop = new SyncLoop(context, { ...(server ? { server } : {}), refreshSession });
  const details = await remembered(`household:${household.id}`);
  if (details) app.details = details.value as Household;
}

async function lastHousehold(session: Session): Promise<SessionHousehold | undefined> {
  const last = (await remembered('household'))?.value;
  return session.households.find(({ id }) => id === last) ?? session.households[0];
}

async function take(session: Session): Promise<void> {
  app.session = session;
  useCsrfToken(session.csrf_token);
  const household = session.user ? await lastHousehold(session) : undefined;
  if (household) await openContext(household);
  else await closeHousehold();
}

/**
 * Takes over a session the server has just given: after signing in, signing up or joining.
 *
 * What another member of this phone has not sent yet is held, not sent in this one's name.
 */
export async function adopt(session: Session, householdId?: string): Promise<void> {
  await remember('session', session);
  if (householdId !== undefined) await remember('household', householdId);
  await take(session);
  channel?.postMessage('session');
  loop?.start();
  app.ready = true;
  void refresh();
}

/** Opens another household of the person signed in. */
export async function openOther(householdId: string): Promise<void> {
  if (app.session) await adopt(app.session, householdId);
}

/**
 * Signs out at the server and closes the records. Nothing is deleted: entries that wait
 * stay on the phone and are sent after the next sign-in. Needs the network.
 */
export async function signOut(): Promise<void> {
  await signOutAtServer();
  await forget('session');
  app.session = null;
  await closeHousehold();
  channel?.postMessage('session');
}

/** Whether the server still takes this phone for the same member; adopts whoever it names. */
async function refreshSession(): Promise<boolean> {
  const session = await getSession();
  const { household, member } = current();
  const isSame = session.households.some(({ id, member_id }) => {
    return id === household && member_id === member;
  });
  if (isSame) {
    app.session = session;
    useCsrfToken(session.csrf_token);
    await remember('session', session);
    return true;
  }
  if (session.user) await adopt(session);
  else app.pause = 'not_authenticated';
  return false;
}

/** Fetches members and tables again, where there is a network. */
export async function refresh(): Promise<void> {
  try {
    await Promise.all([refreshHousehold(), refreshTables()]);
  } catch (error) {
    if (!(error instanceof NoAnswer || error instanceof ApiError)) reportError(error);
  }
}

/** Fetches the household's members again; call it after changing one. */
export async function refreshHousehold(): Promise<void> {
  const context = currentOrNull();
  if (!context) return;
  const details = await getHousehold(context.household);
  await remember(`household:${context.household}`, details);
  if (currentOrNull()?.household !== context.household) return;
  app.details = details;
  if (app.household) {
    const { name, role, time_zone } = details;
    app.household = { ...app.household, name, role, time_zone };
  }
}

async function refreshTables(): Promise<void> {
  const cached = await remembered('tables');
  if (cached && !app.tables) app.tables = cached.value as Tables;
  const fetched = await getTables(cached?.etag ?? null);
  if (!fetched) return;
  await remember('tables', fetched.tables, fetched.etag);
  app.tables = fetched.tables;
}

async function confirmSession(): Promise<void> {
  const session = await getSession();
  if (session.user) await adopt(session);
  else if (app.household) {
    useCsrfToken(session.csrf_token);
    // The records stay open: what is entered now is sent after the next sign-in.
    app.pause = 'not_authenticated';
  } else {
    app.session = session;
    useCsrfToken(session.csrf_token);
  }
}

/** Opens what this phone remembers, then asks the server who is signed in. Never throws. */
export async function boot(): Promise<void> {
  try {
    const cached = await remembered('session');
    const tables = await remembered('tables');
    if (tables) app.tables = tables.value as Tables;
    if (cached) await take(cached.value as Session);
    if (app.household) app.ready = true;
    await confirmSession();
  } catch (error) {
    if (error instanceof NoAnswer || error instanceof ApiError) app.online = false;
    else reportError(error);
  } finally {
    app.ready = true;
    loop?.start();
  }
}

/** Another tab signed in or out: this one follows. */
export function followOtherTabs(): void {
  channel?.addEventListener('message', () => {
    void (async () => {
      const cached = await remembered('session');
      if (cached) await take(cached.value as Session);
      else {
        app.session = null;
        await closeHousehold();
      }
      loop?.start();
    })();
  });
}

/** One round of sync now; resolves when it has ended, well or not (see app.mark). */
export async function syncNow(): Promise<void> {
  await loop?.syncNow();
}

/** Wakes the loop, as the service worker does when the network is back. */
export function wake(): void {
  loop?.kick(0);
}
