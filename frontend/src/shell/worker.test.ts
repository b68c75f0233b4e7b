import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import type { app } from '../db/state.svelte.ts';
// Compiled before the first test, whose time is limited.
import './worker.ts';

/** A worker as the page sees it: it is told to take over, and says how far it has come. */
class Worker extends EventTarget {
  state = 'installing';
  readonly told: unknown[] = [];

  postMessage(message: unknown): void {
    this.told.push(message);
  }

  becomes(state: string): void {
    this.state = state;
    this.dispatchEvent(new Event('statechange'));
  }
}

class Registration extends EventTarget {
  installing: Worker | null = null;
  waiting: Worker | null = null;
  update = (): Promise<void> => Promise.resolve();
}

class Container extends EventTarget {
  controller: Worker | null = null;
  readonly registration = new Registration();
  register = (): Promise<Registration> => Promise.resolve(this.registration);

  controlledBy(worker: Worker): void {
    this.controller = worker;
    this.dispatchEvent(new Event('controllerchange'));
  }
}

let container: Container;
let reload: ReturnType<typeof vi.fn>;

beforeEach(() => {
  vi.resetModules();
  container = new Container();
  reload = vi.fn();
  vi.stubGlobal('navigator', { serviceWorker: container, onLine: true });
  vi.stubGlobal('document', new EventTarget());
  vi.stubGlobal('location', { reload });
});

afterEach(() => {
  vi.unstubAllGlobals();
});

/** What the page knows once it has registered its worker. */
async function registered(): Promise<typeof app> {
  const state = await import('../db/state.svelte.ts');
  state.app.secure = true;
  const { registerWorker } = await import('./worker.ts');
  await registerWorker();
  return state.app;
}

test('the worker of a new phone takes over without a word', async () => {
  const first = new Worker();
  container.registration.installing = first;
  const page = await registered();
  first.becomes('installed');
  container.controlledBy(first);
  expect(page.updateReady).toBe(false);
  expect(reload).not.toHaveBeenCalled();
});

test('a build that was found before the page listened is offered once it is there', async () => {
  container.controller = new Worker();
  const found = new Worker();
  container.registration.installing = found;
  const page = await registered();
  expect(page.updateReady).toBe(false);
  found.becomes('installed');
  expect(page.updateReady).toBe(true);
  page.applyUpdate();
  expect(found.told).toEqual([{ type: 'SKIP_WAITING' }]);
  container.controlledBy(found);
  expect(reload).toHaveBeenCalledOnce();
});

test('a build that another tab put in place unheard asks this page to reload, by a tap', async () => {
  container.controller = new Worker();
  const page = await registered();
  container.controlledBy(new Worker());
  expect(reload).not.toHaveBeenCalled();
  expect(page.updateReady).toBe(true);
  page.applyUpdate();
  expect(reload).toHaveBeenCalledOnce();
});

test('where the first worker came with this page, the next is an update too', async () => {
  const page = await registered();
  container.controlledBy(new Worker());
  expect(page.updateReady).toBe(false);
  container.controlledBy(new Worker());
  expect(page.updateReady).toBe(true);
});
