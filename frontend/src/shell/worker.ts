/** Registers the service worker and hands its updates to a person. */

import { app, reportError } from '../db/store.svelte.ts';
import { wake } from '../db/session.ts';

/** Whether this tab asked for the update: only then may it reload under what is being typed. */
let hasAsked = false;

function offer(worker: ServiceWorker): void {
  app.updateReady = true;
  app.applyUpdate = () => {
    hasAsked = true;
    worker.postMessage({ type: 'SKIP_WAITING' });
  };
}

function watch(registration: ServiceWorkerRegistration): void {
  if (registration.waiting) offer(registration.waiting);
  registration.addEventListener('updatefound', () => {
    const worker = registration.installing;
    worker?.addEventListener('statechange', () => {
      // Without a controller this is the first installation, not an update.
      const isUpdate = worker.state === 'installed' && navigator.serviceWorker.controller;
      if (isUpdate) offer(worker);
    });
  });
}

function onControllerChange(): void {
  if (hasAsked) {
    location.reload();
    return;
  }
  if (!app.updateReady) return;
  // Another tab has updated the app; this one reloads when its person says so.
  app.applyUpdate = () => {
    location.reload();
  };
}

/** Nothing to register on plain http: browsers keep workers for secure pages. */
export async function registerWorker(): Promise<void> {
  if (!('serviceWorker' in navigator) || !app.secure) return;
  navigator.serviceWorker.addEventListener('controllerchange', onControllerChange);
  navigator.serviceWorker.addEventListener('message', wake);
  try {
    const registration = await navigator.serviceWorker.register('/serviceworker.js', {
      scope: '/',
      updateViaCache: 'none',
    });
    watch(registration);
    document.addEventListener('visibilitychange', () => {
      if (document.visibilityState === 'visible' && navigator.onLine) {
        registration.update().catch(reportError);
      }
    });
  } catch (error) {
    reportError(error);
  }
}
