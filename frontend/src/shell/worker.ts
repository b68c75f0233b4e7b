/** Registers the service worker and hands its updates to a person. */

import { app, reportError } from '../db/store.svelte.ts';

/** Whether this tab asked for the update: only then may it reload under what is being typed. */
let hasAsked = false;

function offer(worker: ServiceWorker): void {
  app.updateReady = true;
  app.applyUpdate = () => {
    hasAsked = true;
    worker.postMessage({ type: 'SKIP_WAITING' });
  };
}

function offerOnceInstalled(worker: ServiceWorker | null): void {
  worker?.addEventListener('statechange', () => {
    // Without a controller this is the first installation, not an update.
    const isUpdate = worker.state === 'installed' && navigator.serviceWorker.controller;
    if (isUpdate) offer(worker);
  });
}

function watch(registration: ServiceWorkerRegistration): void {
  if (registration.waiting) offer(registration.waiting);
  // The browser looks for a new build by itself, often before this page has come so far.
  offerOnceInstalled(registration.installing);
  registration.addEventListener('updatefound', () => {
    offerOnceInstalled(registration.installing);
  });
}

/** Whether a worker serves this page already: one that takes over from it is another build. */
let isServed = false;

function onControllerChange(): void {
  if (hasAsked) {
    location.reload();
    return;
  }
  const isUpdate = isServed;
  isServed = true;
  if (!isUpdate) return;
  // Another tab has updated the app, and screens of this build are on the phone no more. This one
  // reloads when its person says so.
  app.updateReady = true;
  app.applyUpdate = () => {
    location.reload();
  };
}

let isRegistered = false;

/** Once. Nothing to register on plain http: browsers keep workers for secure pages. */
export async function registerWorker(): Promise<void> {
  if (isRegistered || !('serviceWorker' in navigator) || !app.secure) return;
  isRegistered = true;
  isServed = navigator.serviceWorker.controller !== null;
  navigator.serviceWorker.addEventListener('controllerchange', onControllerChange);
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
