/**
 * What is going on at the counter beyond what is in the bowl: the food on the scale, the figure on
 * the display. Kept on this phone so that a reload in the middle of weighing changes nothing.
 *
 * Ticked cautions are kept apart and only until the counter is left: they are made each time.
 */

export interface CounterSession {
  /** The food being weighed; null: the next of the plan. */
  readonly food: string | null;
  readonly digits: string;
  readonly skipped: readonly string[];
  /** The display is the total on a scale that is not zeroed in between. */
  readonly showsTotal: boolean;
  /** What was in the bowl when that scale last read zero [g]. */
  readonly zeroAt_g: number;
}

export const freshSession: CounterSession = {
  food: null,
  digits: '',
  skipped: [],
  showsTotal: false,
  zeroAt_g: 0,
};

const KEY = 'trencher-counter-';
const TICKED = 'trencher-ticked-';

function isSession(value: unknown): value is CounterSession {
  if (typeof value !== 'object' || value === null) return false;
  const { digits, skipped, zeroAt_g } = value as Partial<CounterSession>;
  return typeof digits === 'string' && Array.isArray(skipped) && typeof zeroAt_g === 'number';
}

export function keepSession(batch: string, session: CounterSession, storage = localStorage): void {
  storage.setItem(KEY + batch, JSON.stringify(session));
}

export function keptSession(batch: string, storage = localStorage): CounterSession {
  try {
    const value: unknown = JSON.parse(storage.getItem(KEY + batch) ?? 'null');
    return isSession(value) ? value : freshSession;
  } catch {
    // Cut off or written by another version: weighing goes on with an empty display.
    return freshSession;
  }
}

export function dropSession(batch: string, storage = localStorage): void {
  storage.removeItem(KEY + batch);
}

/** Remembers that the cautions before weighing were ticked, as long as this tab lives. */
export function markTicked(batch: string, storage = sessionStorage): void {
  storage.setItem(TICKED + batch, 'yes');
}

export function wasTicked(batch: string, storage = sessionStorage): boolean {
  return storage.getItem(TICKED + batch) === 'yes';
}

/** Leaving the counter ends it: next time the cautions are asked again. */
export function forgetTicked(batch: string, storage = sessionStorage): void {
  storage.removeItem(TICKED + batch);
}
