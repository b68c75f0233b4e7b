import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import { askToKeep, forgetKeeping, isShort, lookAtRoom } from './keeping.ts';
import { app } from './state.svelte.ts';

const MB = 1024 * 1024;

function browser(storage: object | undefined): void {
  vi.stubGlobal('navigator', { storage });
}

beforeEach(() => {
  forgetKeeping();
});

afterEach(() => {
  vi.unstubAllGlobals();
});

test('the browser is asked once, and its answer is kept', async () => {
  const persist = vi.fn(() => Promise.resolve(true));
  browser({ persisted: () => Promise.resolve(false), persist });
  await Promise.all([askToKeep(), askToKeep()]);
  await askToKeep();
  expect(persist).toHaveBeenCalledOnce();
  expect(app.keeping).toBe('kept');
});

test('a refusal is told apart from a browser that has no such promise', async () => {
  browser({ persisted: () => Promise.resolve(false), persist: () => Promise.resolve(false) });
  await askToKeep();
  expect(app.keeping).toBe('may be cleared');
  forgetKeeping();
  browser(undefined);
  await askToKeep();
  expect(app.keeping).toBe('unsaid');
});

test('a promise given before is known without asking', async () => {
  const persist = vi.fn(() => Promise.resolve(true));
  browser({ persisted: () => Promise.resolve(true), persist });
  await lookAtRoom();
  expect(app.keeping).toBe('kept');
  expect(persist).not.toHaveBeenCalled();
});

test('an answer that does not come is no promise', async () => {
  vi.spyOn(console, 'error').mockReturnValue();
  browser({
    persisted: () => Promise.reject(new Error('no')),
    persist: () => Promise.resolve(true),
  });
  await askToKeep();
  expect(app.keeping).toBe('unsaid');
});

test('the room is looked at now and then, not at every save', async () => {
  const estimate = vi.fn(() => Promise.resolve({ usage: 3 * MB, quota: 900 * MB }));
  browser({ persisted: () => Promise.resolve(false), estimate });
  await lookAtRoom(100_000);
  await lookAtRoom(120_000);
  expect(estimate).toHaveBeenCalledOnce();
  await lookAtRoom(170_000);
  expect(estimate).toHaveBeenCalledTimes(2);
  expect(app.room).toEqual({ usage: 3 * MB, quota: 900 * MB });
});

test.each([
  [null, false],
  [{ usage: 0, quota: 0 }, false],
  [{ usage: 10 * MB, quota: 1000 * MB }, false],
  [{ usage: 801 * MB, quota: 1000 * MB }, true],
  [{ usage: 800 * MB, quota: 1000 * MB }, false],
  [{ usage: 20 * MB, quota: 69 * MB }, true],
  [{ usage: 5 * MB, quota: 56 * MB }, false],
])('of %o it is short: %s', (room, expected) => {
  expect(isShort(room)).toBe(expected);
});
