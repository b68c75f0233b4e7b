import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import type { Session } from '../api/accounts.ts';
import { NoAnswer } from '../api/client.ts';
import { uuid7 } from '../domain/ids.ts';
import { ModelServer } from '../test/model-server.ts';
import { CALLUM, INES } from '../test/phone.ts';
import { currentOrNull } from './context.ts';
import { remembered, wipeDevice } from './device.ts';
import { adopt, boot, setSyncServer, signOut, syncNow } from './session.ts';
import { app } from './state.svelte.ts';
import { create } from './write.ts';
import { soon } from '../test/soon.ts';

let household: string;
let server: ModelServer;
let isUp: boolean;
let signedIn: Session;

function session(member: string | null): Session {
  const role = 'owner' as const;
  return {
    csrf_token: 'token',
    user: member === null ? null : { id: member, name: 'Ines', email: 'ines@home.example' },
    households:
      member === null
        ? []
        : [
            {
              id: household,
              name: 'Home',
              role,
              member_id: member,
              time_zone: 'UTC',
              units: 'metric',
            },
          ],
    secure: true,
  };
}

function answer(path: string): unknown {
  if (path === '/api/session') return signedIn;
  if (path === '/api/nutrition/tables') return { version: '1', foods: [], nutrients: [] };
  if (path === '/api/sign-out') return {};
  return {
    id: household,
    name: 'Home',
    time_zone: 'UTC',
    role: 'owner',
    member_id: INES,
    members: [],
  };
}

beforeEach(async () => {
  household = uuid7();
  server = new ModelServer();
  isUp = true;
  signedIn = session(INES);
  setSyncServer(server);
  const page = new EventTarget();
  vi.stubGlobal('window', page);
  vi.stubGlobal('document', new EventTarget());
  vi.stubGlobal('navigator', {
    storage: { persisted: () => Promise.resolve(false), persist: () => Promise.resolve(true) },
  });
  app.keeping = null;
  vi.stubGlobal('fetch', (path: string) => {
    if (!isUp) return Promise.reject(new TypeError('Failed to fetch'));
    return Promise.resolve(Response.json(answer(path)));
  });
  app.ready = false;
  app.online = true;
  await wipeDevice();
});

afterEach(async () => {
  isUp = true;
  await signOut();
  vi.unstubAllGlobals();
});

/** The page is closed and opened: what is in memory is gone. */
async function restart(): Promise<void> {
  app.ready = false;
  app.session = null;
  app.tables = null;
  await boot();
}

test('a phone nobody has signed in on shows the way in', async () => {
  signedIn = session(null);
  await boot();
  expect(app.ready).toBe(true);
  expect(app.household).toBeNull();
});

test('a phone that was signed in opens without the network, with its records', async () => {
  server.before = () => {
    throw new NoAnswer();
  };
  await adopt(signedIn);
  await create('dog', { name: 'Morag' });
  await soon(() => {
    expect(app.tables).not.toBeNull();
  });
  isUp = false;
  await restart();
  expect(app.ready).toBe(true);
  expect(app.household?.id).toBe(household);
  expect(app.online).toBe(false);
  expect(app.tables).not.toBeNull();
  await soon(() => {
    expect(app.mark).toMatchObject({ state: 'waiting', waiting: 1 });
  });
});

test('the mark says saved, then synced', async () => {
  await adopt(signedIn);
  await create('dog', { name: 'Morag' });
  await syncNow();
  await soon(() => {
    expect(app.mark).toMatchObject({ state: 'synced', waiting: 0 });
  });
  expect(app.keeping).toBe('kept');
});

test('the mark does not say synced before the tables are here, and they are asked for again', async () => {
  let areTablesUp = false;
  vi.stubGlobal('fetch', (path: string) =>
    path === '/api/nutrition/tables' && !areTablesUp
      ? Promise.reject(new TypeError('Failed to fetch'))
      : Promise.resolve(Response.json(answer(path))),
  );
  app.tables = null;
  await adopt(signedIn);
  await syncNow();
  await soon(() => {
    expect([app.caughtUp, app.syncedAt !== null, app.tablesDue]).toEqual([true, true, true]);
  });
  expect(app.mark.state).toBe('saved');
  areTablesUp = true;
  await syncNow();
  await soon(() => {
    expect(app.mark.state).toBe('synced');
  });
  expect(app.tables).not.toBeNull();
});

test('fault_23 signing out keeps what waits; the next sign-in sends it', async () => {
  server.before = () => {
    throw new NoAnswer();
  };
  await adopt(signedIn);
  await create('dog', { name: 'Morag' });
  await signOut();
  expect(currentOrNull()).toBeNull();
  expect(await remembered('session')).toBeUndefined();
  server.before = () => undefined;
  await adopt(signedIn);
  await syncNow();
  expect(server.log).toHaveLength(1);
});

test('an expired session keeps the records open and pauses the queue', async () => {
  await adopt(signedIn);
  signedIn = session(null);
  server.signedIn = false;
  await restart();
  expect(app.household?.id).toBe(household);
  expect(app.pause).toBe('not_authenticated');
  expect(app.mark.state).toBe('needs_you');
  signedIn = session(INES);
  server.signedIn = true;
  await adopt(signedIn);
  await syncNow();
  expect(app.pause).toBeNull();
});

test('fault_22 somebody else who signs in finds the other’s entries held', async () => {
  server.before = () => {
    throw new NoAnswer();
  };
  await adopt(signedIn);
  await create('dog', { name: 'Morag' });
  server.before = () => undefined;
  signedIn = session(CALLUM);
  await adopt(signedIn);
  await syncNow();
  expect(server.log).toHaveLength(0);
  await soon(() => {
    expect(app.held).toBe(1);
  });
  expect(app.mark.state).toBe('needs_you');
});

test('a new phone asks for its first rows ahead, once, and one that was here before does not', async () => {
  server.firstKinds = ['dog'];
  const asked: string[] = [];
  server.before = (call) => void asked.push(call);
  await adopt(signedIn);
  expect(asked[0]).toBe('first');
  await syncNow();
  expect(asked.filter((call) => call === 'first')).toHaveLength(1);
  asked.length = 0;
  await restart();
  await syncNow();
  expect(asked).not.toContain('first');
  await soon(async () => {
    expect(await remembered(`household:${household}`)).toBeDefined();
  });
  await signOut();
  await adopt(signedIn);
  await syncNow();
  expect(asked).not.toContain('first');
});

test('first rows that did not come ahead are asked for again', async () => {
  server.firstKinds = ['dog'];
  let asked = 0;
  server.before = (call) => {
    if (call === 'first') asked += 1;
    if (asked < 2) throw new NoAnswer();
  };
  await adopt(signedIn);
  await syncNow();
  await syncNow();
  expect(asked).toBe(2);
  expect(app.caughtUp).toBe(true);
});

test('fault_22 a page that is opened twice at once leaves nothing behind that sends for who left', async () => {
  server.before = () => {
    throw new NoAnswer();
  };
  // As when another tab tells of its start while this one is starting.
  const starting = adopt(signedIn);
  await soon(() => {
    expect(currentOrNull()).toBeNull();
  });
  await Promise.all([starting, adopt(signedIn), boot()]);
  await create('dog', { name: 'Morag' });
  await signOut();
  server.before = () => undefined;
  signedIn = session(CALLUM);
  await adopt(signedIn);
  window.dispatchEvent(new Event('online'));
  await syncNow();
  await soon(() => {
    expect(app.held).toBe(1);
  });
  expect(server.log).toHaveLength(0);
});
