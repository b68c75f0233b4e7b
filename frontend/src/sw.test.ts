import { afterEach, beforeEach, expect, test, vi } from 'vitest';

vi.mock('workbox-precaching', () => ({
  cleanupOutdatedCaches: vi.fn(),
  createHandlerBoundToURL: vi.fn(),
  precacheAndRoute: vi.fn(),
}));
vi.mock('workbox-routing', () => ({ NavigationRoute: class {}, registerRoute: vi.fn() }));

/** Types of the browser's page and of its worker do not go together: the module has no name. */
const SOURCE: string = './sw.ts';

let heard: Map<string, (event: unknown) => void>;
let skipWaiting: ReturnType<typeof vi.fn>;

beforeEach(async () => {
  vi.resetModules();
  heard = new Map();
  skipWaiting = vi.fn(() => Promise.resolve());
  vi.stubGlobal('__PRECACHE__', []);
  vi.stubGlobal('self', {
    skipWaiting,
    addEventListener: (type: string, listener: (event: unknown) => void) => {
      heard.set(type, listener);
    },
  });
  await import(/* @vite-ignore */ SOURCE);
});

afterEach(() => {
  vi.unstubAllGlobals();
});

test('the worker listens only for what the browser or the page says to it', () => {
  // A background "sync" comes only where a page has registered one, and none does: the queue is
  // the page's, and a page that is open hears by itself that the network is back.
  expect([...heard.keys()].sort()).toEqual(['activate', 'message']);
});

test('a new build takes over when the page says so, and at nothing else', () => {
  const say = heard.get('message');
  for (const data of [null, 'SKIP_WAITING', {}, { type: 'SYNC' }]) say?.({ data });
  expect(skipWaiting).not.toHaveBeenCalled();
  say?.({ data: { type: 'SKIP_WAITING' } });
  expect(skipWaiting).toHaveBeenCalledOnce();
});
