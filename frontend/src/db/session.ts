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
import { syncServer, type SyncServer } from '../api/sync.ts';
import type { Tables } from '../domain/tables.ts';
import { current, currentOrNull, onWrite, setCurrent, type Context } from './context.ts';
import { followChoices, readChoices } from './choices.ts';
import { count, dropCounts, followCounts, show } from './counts.ts';
import { forget, remember, remembered } from './device.ts';
import { askToKeep, lookAtRoom } from './keeping.ts';
import type { CachedJson } from './schema.ts';
import { onStoreTrouble, openHousehold } from './open.ts';
import { app, reportError } from './state.svelte.ts';
import { SyncLoop } from './sync/loop.ts';

let loop: SyncLoop | null = null;
let stopFollowing: () => void = () => undefined;
let server: SyncServer | undefined;
let isRefreshing = false;
const channel = typeof BroadcastChannel === 'undefined' ? null : new BroadcastChannel('trencher');

onStoreTrouble((trouble) => {
  app.trouble = trouble;
});
onWrite(() => {
  loop?.kick();
  void askToKeep();
});

/** Tests bring a server of their own. */
export function setSyncServer(other: SyncServer): void {
  server = other;
}

/**
 * One after the other: this tab's start, a sign-in and what another tab tells of may come at the
 * same time, and a household that two of them opened would be closed by one only. What was left
 * open would go on syncing after a sign-out.
 */
let turn: Promise<unknown> = Promise.resolve();

function inTurn(work: () => Promise<void>): Promise<void> {
  const done = turn.then(work);
  turn = done.catch(() => undefined);
  return done;
}

async function closeHousehold(): Promise<void> {
  loop?.stop();
  loop = null;
  stopFollowing();
  dropCounts();
  await Promise.resolve();
  currentOrNull()?.db.close();
  setCurrent(null);
  app.household = null;
  app.details = null;
  Object.assign(app, { waiting: 0, held: 0, refused: 0, conflicts: 0, lost: 0, syncedAt: null });
  app.standard = null;
  app.fridge_c = null;
  app.caughtUp = false;
  app.filling = false;
  app.pause = null;
}

type FirstRows = ReturnType<NonNullable<SyncServer['first']>>;

/** The server; the first rows asked for ahead are what its first answer to that question is. */
function linkWith(ahead: FirstRows | undefined): SyncServer {
  const link = server ?? syncServer;
  if (!ahead || !link.first) return link;
  const ask = link.first.bind(link);
  let given: FirstRows | null = ahead;
  return {
    push: (household, body) => link.push(household, body),
    changes: (household, cursor, mark) => link.changes(household, cursor, mark),
    first: (household) => {
      const rows = given ?? ask(household);
      given = null;
      return rows;
    },
  };
}

/** A phone that has no household yet is new: its first rows travel while its store is being made. */
function askAhead(household: SessionHousehold): FirstRows | undefined {
  const ahead = (server ?? syncServer).first?.(household.id);
  // Whoever takes the rows hears of what went wrong.
  ahead?.catch(() => undefined);
  return ahead;
}

async function openContext(household: SessionHousehold, ahead?: FirstRows): Promise<void> {
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
  const [counts, chosen, details] = await Promise.all([
    count(context),
    readChoices(context),
    remembered(`household:${household.id}`),
  ]);
  show(counts);
  Object.assign(app, chosen);
  app.household = household;
  const follows = [followCounts(), followChoices()];
  stopFollowing = () => {
    for (const stop of follows) stop();
  };
  loop = new SyncLoop(context, {
    server: linkWith(ahead),
    refreshSession,
    // They may have failed to arrive when this phone was new.
    afterRound: () => {
      if (app.tables === null && !isRefreshing) void refresh();
    },
  });
  if (details) app.details = details.value as Household;
}

async function lastHousehold(session: Session): Promise<SessionHousehold | undefined> {
  const last = (await remembered('household'))?.value;
  return session.households.find(({ id }) => id === last) ?? session.households[0];
}

function take(session: Session, isNew = false): Promise<void> {
  return inTurn(() => takeOver(session, isNew));
}

async function takeOver(session: Session, isNew: boolean): Promise<void> {
  app.session = session;
  useCsrfToken(session.csrf_token);
  const household = session.user ? await lastHousehold(session) : undefined;
  if (!household) return closeHousehold();
  // Whoever signs in again finds the records where they were.
  const isFirst = isNew && (await remembered(`household:${household.id}`)) === undefined;
  await openContext(household, isFirst ? askAhead(household) : undefined);
}

/**
 * Takes over a session the server has just given: after signing in, signing up or joining.
 *
 * What another member of this phone has not sent yet is held, not sent in this one's name.
 */
export async function adopt(session: Session, householdId?: string): Promise<void> {
  const isNew = (await remembered('session')) === undefined;
  if (householdId !== undefined) await remember('household', householdId);
  await Promise.all([remember('session', session), take(session, isNew)]);
  channel?.postMessage('session');
  loop?.start();
  app.ready = true;
  void refresh();
}

/** Opens another household of the person signed in. */
export async function openOther(householdId: string): Promise<void> {
  if (app.session) await adopt(app.session, householdId);
}

async function leave(): Promise<void> {
  app.session = null;
  await closeHousehold();
}

/**
 * Signs out at the server and closes the records. Nothing is deleted: entries that wait
 * stay on the phone and are sent after the next sign-in. Needs the network.
 */
export async function signOut(): Promise<void> {
  await signOutAtServer();
  await forget('session');
  await inTurn(leave);
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
  isRefreshing = true;
  try {
    await Promise.all([refreshHousehold(), refreshTables()]);
  } catch (error) {
    if (!(error instanceof NoAnswer || error instanceof ApiError)) reportError(error);
  }
  isRefreshing = false;
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

/** They are kept as text: a browser reads that in half the time of so many objects. */
function tablesIn({ value }: CachedJson): Tables {
  return (typeof value === 'string' ? JSON.parse(value) : value) as Tables;
}

async function refreshTables(): Promise<void> {
  app.tablesDue = app.tables === null;
  const cached = await remembered('tables');
  if (cached && !app.tables) app.tables = tablesIn(cached);
  const fetched = await getTables(cached?.etag ?? null);
  if (fetched) {
    await remember('tables', JSON.stringify(fetched.tables), fetched.etag);
    app.tables = fetched.tables;
  }
  app.tablesDue = false;
}

async function confirmSession(asked: Promise<Session>): Promise<void> {
  const session = await asked;
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
  // Under way while the phone's own store is opened.
  const asked = getSession();
  asked.catch(() => undefined);
  try {
    const [cached, tables] = await Promise.all([remembered('session'), remembered('tables')]);
    if (tables) app.tables = tablesIn(tables);
    if (cached) await take(cached.value as Session);
    if (app.household) app.ready = true;
    await confirmSession(asked);
  } catch (error) {
    if (error instanceof NoAnswer || error instanceof ApiError) app.online = false;
    else reportError(error);
  } finally {
    app.ready = true;
    loop?.start();
    void lookAtRoom();
  }
}

/** Another tab signed in or out: this one follows. */
export function followOtherTabs(): void {
  channel?.addEventListener('message', () => {
    void (async () => {
      const cached = await remembered('session');
      if (cached) await take(cached.value as Session);
      else await inTurn(leave);
      loop?.start();
    })();
  });
}

/**
 * One round of sync now; resolves when it has ended, well or not (see app.mark). False: it was
 * left to another tab, which may be frozen or cut off itself.
 */
export async function syncNow(): Promise<boolean> {
  return (await loop?.syncNow()) ?? true;
}
