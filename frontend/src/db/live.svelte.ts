/** Queries that follow the database. */

import Dexie from 'dexie';
import { currentOrNull, NotOpen } from './context.ts';
import { app, reportError } from './state.svelte.ts';

export interface Live<T> {
  readonly value: T;
  readonly loading: boolean;
}

/** A changed part of a household's store, as Dexie names it. */
const PART = /^idb:\/\/trencher-[^/]+\/(\w+)\//;

/** Whether a screen reads it. Others (what is being pulled, counters) redraw nothing. */
function isRead(part: string): boolean {
  const table = PART.exec(part)?.[1] ?? '';
  return table === 'ops' || table === 'lost' || table === currentOrNull()?.db.shown;
}

function isPointer(part: string): boolean {
  return PART.exec(part)?.[1] === 'pointer';
}

/** Dexie names the changed parts of a store, in every tab, also when another one wrote. */
function onChange(listener: () => void): () => void {
  const hear = (parts: object): void => {
    const names = Object.keys(parts);
    // Other rows are shown from now on: perhaps by another tab, so this one looks first.
    if (names.some(isPointer)) void currentOrNull()?.db.look().then(listener, reportError);
    else if (names.some((part) => part === 'all' || isRead(part))) listener();
  };
  Dexie.on('storagemutated', hear);
  return () => {
    Dexie.on.storagemutated.unsubscribe(hear);
  };
}

/** Runs a query again on every change, never twice at once, the last change always included. */
function follow<T>(
  query: () => Promise<T>,
  first: Promise<T>,
  show: (result: T) => void,
): () => void {
  let closed = false;
  let running = true;
  let stale = false;

  async function settle(result: Promise<T>): Promise<void> {
    try {
      const value = await result;
      if (!closed) show(value);
    } catch (error) {
      // Before somebody has signed in there is nothing to show yet.
      if (!closed && !(error instanceof NotOpen)) reportError(error);
    }
    running = false;
    if (stale && !closed) refresh();
  }

  function refresh(): void {
    stale = running;
    if (running) return;
    running = true;
    void settle(query());
  }

  void settle(first);
  const stop = onChange(refresh);
  return () => {
    closed = true;
    stop();
  };
}

/**
 * Runs `query` now, and again whenever records change or a reactive value it reads does.
 *
 * Call it while a component is set up. Only what the query reads before its first await
 * is noticed as a reactive value: take props and state into constants first.
 */
export function live<T>(query: () => Promise<T>, initial: T): Live<T> {
  let value = $state.raw(initial);
  let loading = $state(true);
  $effect(() => {
    // Another household, another database.
    void app.household?.id;
    return follow(query, query(), (result) => {
      value = result;
      loading = false;
    });
  });
  return {
    get value() {
      return value;
    },
    get loading() {
      return loading;
    },
  };
}
