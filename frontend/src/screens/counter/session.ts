/**
 * What is going on at the counter beyond what is in the bowl: the food on the scale, the figure on
 * the display. Kept on this phone so that a reload in the middle of weighing changes nothing.
 */

import { scaleFigure, type Units } from '../../ui/words';
import { reading_g } from './weigh-in';

export interface CounterSession {
  /** The food being weighed; null: the next of the plan. */
  readonly food: string | null;
  readonly digits: string;
  /** The units of the digits. */
  readonly units: Units;
  readonly skipped: readonly string[];
  /** Foods that were looked at and smelled, and are good. */
  readonly looked: readonly string[];
  /** The display is the total on a scale that is not zeroed in between. */
  readonly showsTotal: boolean;
  /** What was in the bowl when that scale last read zero [g]. */
  readonly zeroAt_g: number;
}

/** What lies over the scale: the foods, a stand-in, any other food, or what was not good. */
export type Over = 'foods' | 'swap' | 'swap_other' | 'besides' | 'bad';

export const freshSession: CounterSession = {
  food: null,
  digits: '',
  units: 'metric',
  skipped: [],
  looked: [],
  showsTotal: false,
  zeroAt_g: 0,
};

const KEY = 'trencher-counter-';

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
    return isSession(value) ? { ...freshSession, ...value } : freshSession;
  } catch {
    // Cut off or written by another version: weighing goes on with an empty display.
    return freshSession;
  }
}

/** The session with its display in other units: they may have been changed while food was on the scale. */
export function inUnits(session: CounterSession, units: Units): CounterSession {
  if (session.units === units) return session;
  const { digits } = session;
  const shown = digits === '' ? '' : String(scaleFigure(reading_g(digits, session.units), units));
  return { ...session, digits: shown, units };
}

/**
 * Where a scale that shows the total stands after something was taken out again: it holds no less
 * than nothing.
 *
 * @param inBowl_g what is left in the bowl [g]
 */
export function afterUndo({ zeroAt_g }: CounterSession, inBowl_g: number): number {
  return Math.min(zeroAt_g, inBowl_g);
}

export function dropSession(batch: string, storage = localStorage): void {
  storage.removeItem(KEY + batch);
}
