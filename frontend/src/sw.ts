/// <reference lib="webworker" />
/**
 * The shell, offline. Nothing under /api/ is ever answered from here: the records
 * are kept in IndexedDB, and only a reply of the server itself confirms a write.
 */

import {
  cleanupOutdatedCaches,
  createHandlerBoundToURL,
  precacheAndRoute,
} from 'workbox-precaching';
import { NavigationRoute, registerRoute } from 'workbox-routing';

declare const self: ServiceWorkerGlobalScope;
declare const __PRECACHE__: { url: string; revision: string | null }[];

precacheAndRoute(__PRECACHE__);
cleanupOutdatedCaches();
registerRoute(
  new NavigationRoute(createHandlerBoundToURL('/'), {
    denylist: [/^\/(api|admin|calendar|static|trust)(\/|$)/],
  }),
);

/**
 * The page that installed the worker is served by it at once: screens not opened yet must come
 * from the phone when the network goes before the first reload. An update still waits for a tap.
 */
self.addEventListener('activate', (event) => {
  event.waitUntil(self.clients.claim());
});

/** The new build takes over only when a person taps: never in the middle of a form. */
self.addEventListener('message', (event) => {
  const data: unknown = event.data;
  if (typeof data === 'object' && data !== null && 'type' in data && data.type === 'SKIP_WAITING') {
    void self.skipWaiting();
  }
});
