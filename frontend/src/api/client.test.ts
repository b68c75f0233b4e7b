import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import { ApiError, get, NoAnswer, post, send, useCsrfToken } from './client.ts';
import { getHousehold, getSession } from './accounts.ts';
import { syncServer } from './sync.ts';
import { getTables } from './tables.ts';

type Answer = (url: string, init: RequestInit) => Response | Promise<Response>;

let calls: { url: string; init: RequestInit }[];

function answer(with_: Answer): void {
  vi.stubGlobal('fetch', (url: string, init: RequestInit) => {
    calls.push({ url, init });
    return Promise.resolve(with_(url, init));
  });
}

function json(body: unknown, status = 200, headers: Record<string, string> = {}): Response {
  return new Response(JSON.stringify(body), {
    status,
    headers: { 'Content-Type': 'application/json', ...headers },
  });
}

function header(init: RequestInit, name: string): string {
  return new Headers(init.headers).get(name) ?? '';
}

beforeEach(() => {
  calls = [];
});

afterEach(() => {
  vi.unstubAllGlobals();
  vi.useRealTimers();
});

const MARK = { seq: 3, token: 'ab12', role: 'owner' };

test('a request that changes something carries the token, a read does not', async () => {
  useCsrfToken('token-1');
  answer(() => json({}));
  await post('/api/sign-out');
  await get('/api/session');
  expect(header(calls[0]?.init ?? {}, 'X-CSRFToken')).toBe('token-1');
  expect(header(calls[1]?.init ?? {}, 'X-CSRFToken')).toBe('');
});

test('a refusal keeps its code, words and fields', async () => {
  answer(() => json({ code: 'invalid', message: 'No.', fields: { email: ['Taken.'] } }, 400));
  const error = await post('/api/sign-up').catch((caught: unknown) => caught);
  expect(error).toBeInstanceOf(ApiError);
  expect(error).toMatchObject({ status: 400, code: 'invalid', message: 'No.' });
  expect((error as ApiError).fields).toEqual({ email: ['Taken.'] });
});

test.each([
  ['Retry-After in seconds', '7', 7],
  ['no such header', '', null],
])('%s is read', async (_name, value, expected) => {
  answer(() => json({}, 503, value ? { 'Retry-After': value } : {}));
  await expect(get('/api/session')).rejects.toMatchObject({ retryAfter_s: expected });
});

test('after thirty seconds without an answer it is no answer', async () => {
  vi.useFakeTimers();
  vi.stubGlobal('fetch', (_url: string, init: RequestInit) => {
    return new Promise((_resolve, reject) => {
      init.signal?.addEventListener('abort', () => {
        reject(new DOMException('aborted', 'AbortError'));
      });
    });
  });
  const sent = expect(send('GET', '/api/session')).rejects.toBeInstanceOf(NoAnswer);
  await vi.advanceTimersByTimeAsync(30_001);
  await sent;
});

test.each([
  [false, false],
  [true, true],
])(
  'a request that failed while the browser was online (%s) may have left the phone (%s)',
  async (onLine, hasLeft) => {
    vi.stubGlobal('navigator', { onLine });
    vi.stubGlobal('fetch', () => Promise.reject(new TypeError('Failed to fetch')));
    const error = await get('/api/session').catch((caught: unknown) => caught);
    expect(error).toBeInstanceOf(NoAnswer);
    expect(error).toMatchObject({ hasLeft });
  },
);

test('push and pull name the protocol and take back only their own request', async () => {
  answer((_url, init) => {
    const id = header(init, 'X-Request-Id');
    const own = { 'Sync-Protocol': '1', 'X-Request-Id': id };
    return json(
      { rows: [], cursor: 3, more: false, mark: MARK, server_time: 1, request_id: id },
      200,
      own,
    );
  });
  const reply = await syncServer.changes('h', 2, MARK);
  expect(reply.cursor).toBe(3);
  const [call] = calls;
  expect(call?.url).toBe('/api/households/h/sync/changes?cursor=2&limit=1000&mark=3.ab12.owner');
  expect(header(call?.init ?? {}, 'Sync-Protocol')).toBe('1');
  expect(header(call?.init ?? {}, 'Sync-Schema')).toBe('1');
});

const ACK = { results: [], asked: [], mark: MARK, server_time: 1 };

test.each<[string, Answer]>([
  [
    'a portal’s page with status 200',
    () => new Response('<html>Welcome</html>', { headers: { 'Content-Type': 'text/html' } }),
  ],
  [
    'a sign-in page with status 200',
    () => new Response('<form>', { headers: { 'Content-Type': 'text/html' } }),
  ],
  ['an offline page of a worker', () => new Response('offline', { status: 200 })],
  ['JSON without the protocol', () => json({ ...ACK, request_id: 'x' })],
  [
    'JSON with another request’s id',
    () => json({ ...ACK, request_id: 'x' }, 200, { 'Sync-Protocol': '1', 'X-Request-Id': 'x' }),
  ],
  [
    'half a reply',
    () => new Response('{"results": [', { headers: { 'Content-Type': 'application/json' } }),
  ],
  ['a 403 of somebody else', () => json({ code: 'not_member' }, 403)],
  ['a 410 of a cache', () => json({}, 410)],
  ['a 502 of a proxy', () => json({}, 502)],
  ['no network', () => Promise.reject(new TypeError('Failed to fetch'))],
])('fault_36 %s is no answer', async (_name, reply) => {
  answer(reply);
  const body = { mark: null, device_id: 'd', ops: [], ask: [] };
  await expect(syncServer.push('h', body)).rejects.toBeInstanceOf(NoAnswer);
});

test('fault_36 a refusal of the server itself is one', async () => {
  answer((_url, init) => {
    const own = { 'Sync-Protocol': '1', 'X-Request-Id': header(init, 'X-Request-Id') };
    return json({ code: 'mark_gone', message: '', fields: { role: ['sitter'] } }, 410, own);
  });
  await expect(syncServer.changes('h', 0, MARK)).rejects.toMatchObject({
    status: 410,
    code: 'mark_gone',
  });
});

test('a redirect is never followed: it could end at a page that looks like an answer', async () => {
  answer(() => json({}));
  await get('/api/session');
  expect(calls[0]?.init.redirect).toBe('error');
});

test.each([
  ['session', () => getSession()],
  ['household', () => getHousehold('h')],
  ['tables', () => getTables(null)],
])('JSON of a stranger is not taken for the %s', async (_what, ask) => {
  answer(() => json({ captive: true, 'user-portal-url': 'https://portal.example' }));
  await expect(ask()).rejects.toBeInstanceOf(NoAnswer);
});
