import { vi } from 'vitest';

/** Waits until nothing is thrown; long, because a busy machine is not a failure. */
export function soon<T>(ask: () => T | Promise<T>): Promise<T> {
  return vi.waitFor(ask, { timeout: 30_000 });
}
