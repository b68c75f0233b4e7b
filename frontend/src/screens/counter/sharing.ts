/** What was typed while a batch is shared out, kept on this phone until it is put by. */
import type { BagPlan, Rest } from './bagging';

export interface Sharing {
  /** What the batch weighs; null until somebody typed it [g]. */
  readonly yield_g: number | null;
  /** The bags as they were changed; null: as proposed. */
  readonly bags: Omit<BagPlan, 'left_g'> | null;
  readonly rest: Rest;
}

export const freshSharing: Sharing = { yield_g: null, bags: null, rest: 'first' };

const KEY = 'trencher-sharing-';

export function keepSharing(batch: string, sharing: Sharing): void {
  localStorage.setItem(KEY + batch, JSON.stringify(sharing));
}

export function keptSharing(batch: string): Sharing {
  try {
    const value = JSON.parse(
      localStorage.getItem(KEY + batch) ?? 'null',
    ) as Partial<Sharing> | null;
    return { ...freshSharing, ...value };
  } catch {
    // Cut off: it is weighed and bagged anew.
    return freshSharing;
  }
}

export function dropSharing(batch: string): void {
  localStorage.removeItem(KEY + batch);
}
