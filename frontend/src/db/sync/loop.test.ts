import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import { ApiError, NoAnswer } from '../../api/client.ts';
import { loseReply, ModelServer } from '../../test/model-server.ts';
import { Phone } from '../../test/phone.ts';
import { create } from '../write.ts';
import { app } from '../state.svelte.ts';
import { backoff_ms } from './backoff.ts';
import { SyncLock } from './lock.ts';
import { SyncLoop } from './loop.ts';

let server: ModelServer;
let phone: Phone;
let loop: SyncLoop;

beforeEach(async () => {
  server = new ModelServer();
  phone = await Phone.open(server);
  loop = new SyncLoop(phone.context, { server });
  app.pause = null;
  app.online = true;
});

afterEach(() => {
  loop.stop();
  vi.useRealTimers();
  vi.unstubAllGlobals();
});

test('the wait grows to a minute, never less than a second, and is spread at random', () => {
  expect(backoff_ms(1, () => 0)).toBe(1000);
  expect(backoff_ms(3, () => 1)).toBe(8000);
  expect(backoff_ms(50, () => 1)).toBe(60_000);
  expect(backoff_ms(50, () => 0.5)).toBe(30_500);
});

test('it sends what was written and says that it is online', async () => {
  await phone.do(() => create('dog', { name: 'Morag' }));
  await loop.syncNow();
  expect(server.log).toHaveLength(1);
  expect(app.online).toBe(true);
});

test('without an answer it is not online, and the entry waits', async () => {
  server.before = loseReply;
  await phone.do(() => create('dog', { name: 'Morag' }));
  await loop.syncNow();
  expect(app.online).toBe(false);
  expect(await phone.states()).toEqual(['sent']);
});

test.each([
  ['not_authenticated', 403],
  ['not_member', 403],
  ['schema_too_new', 426],
] as const)('%s pauses it until a round goes through', async (code, status) => {
  server.before = () => {
    throw new ApiError(status, code, '');
  };
  await loop.syncNow();
  expect(app.pause).toBe(code);
  server.before = () => undefined;
  await loop.syncNow();
  expect(app.pause).toBeNull();
});

test('a stale token is fetched again and the round repeated once', async () => {
  const refreshSession = vi.fn(() => {
    server.before = () => undefined;
    return Promise.resolve(true);
  });
  loop.stop();
  loop = new SyncLoop(phone.context, { server, refreshSession });
  server.before = (call) => {
    if (call === 'push') throw new ApiError(403, 'csrf_failed', '');
  };
  await phone.do(() => create('dog', { name: 'Morag' }));
  await loop.syncNow();
  expect(refreshSession).toHaveBeenCalledOnce();
  expect(server.log).toHaveLength(1);
});

test('a session that is another member’s now sends nothing', async () => {
  loop.stop();
  loop = new SyncLoop(phone.context, { server, refreshSession: () => Promise.resolve(false) });
  server.before = (call) => {
    if (call === 'push') throw new ApiError(403, 'csrf_failed', '');
  };
  await phone.do(() => create('dog', { name: 'Morag' }));
  await loop.syncNow();
  expect(server.log).toHaveLength(0);
});

test('fault_35 a flapping link causes no storm and drains in the end', async () => {
  let isUp = false;
  server.before = () => {
    if (!isUp) throw new NoAnswer();
  };
  const page = new EventTarget();
  vi.stubGlobal('window', page);
  vi.stubGlobal('document', new EventTarget());
  loop.start();
  const begun = Date.now();
  for (let i = 0; i < 30; i += 1) {
    await phone.do(() => create('dog', { name: `Dog ${String(i)}` }));
    loop.kick();
    page.dispatchEvent(new Event('online'));
    await new Promise((resolve) => setTimeout(resolve, 10));
  }
  // At most one try a second after a failure, however long the machine takes over the thirty.
  expect(server.requests).toBeLessThanOrEqual(2 + (Date.now() - begun) / 1000);
  isUp = true;
  // The first may be a round that began while the link was down.
  await loop.syncNow();
  await loop.syncNow();
  expect(server.log).toHaveLength(30);
});

test('a server that says when to come back is left alone until then', async () => {
  server.before = () => {
    throw new ApiError(503, 'busy', '', {}, 120);
  };
  await loop.syncNow();
  const before = server.requests;
  loop.kick(0);
  await new Promise((resolve) => setTimeout(resolve, 60));
  expect(server.requests).toBe(before);
});

test('only one round runs at a time in a tab', async () => {
  await phone.do(() => create('dog', { name: 'Morag' }));
  await Promise.all([loop.syncNow(), loop.syncNow(), loop.syncNow()]);
  expect(server.requests).toBe(2);
});

function stubLocks(isFree: () => boolean): void {
  vi.stubGlobal('navigator', {
    locks: {
      request: (_name: string, _options: object, work: (lock: object | null) => Promise<boolean>) =>
        work(isFree() ? {} : null),
    },
  });
}

test('fault_37 a tab whose lock-holder shows no sign of life for a minute goes on itself', async () => {
  stubLocks(() => false);
  vi.useFakeTimers({ toFake: ['Date'] });
  const lock = new SyncLock('sync');
  const work = vi.fn(() => Promise.resolve());
  expect(await lock.run(work)).toBe(false);
  vi.setSystemTime(Date.now() + 59_000);
  expect(await lock.run(work)).toBe(false);
  lock.heardOther();
  vi.setSystemTime(Date.now() + 59_000);
  expect(await lock.run(work)).toBe(false);
  vi.setSystemTime(Date.now() + 61_000);
  expect(await lock.run(work)).toBe(true);
  expect(work).toHaveBeenCalledOnce();
});

test('without locks, as on plain http, it works all the same', async () => {
  vi.stubGlobal('navigator', {});
  const work = vi.fn(() => Promise.resolve());
  expect(await new SyncLock('sync').run(work)).toBe(true);
  expect(work).toHaveBeenCalledOnce();
});

test('a try says whether it was left to another tab', async () => {
  stubLocks(() => false);
  expect(await loop.syncNow()).toBe(false);
  expect(server.requests).toBe(0);
  stubLocks(() => true);
  expect(await loop.syncNow()).toBe(true);
  expect(server.requests).toBeGreaterThan(0);
});
