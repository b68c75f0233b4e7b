/** How much is in a lot or a set of bags, from its movements and counts alone, as the server reckons. */

export type Effect = 'stored' | 'thawed' | 'refrozen' | 'used' | 'discarded';

/** A movement that is not deleted. The mass is positive, whatever it does. */
export interface LedgerMovement {
  rid: string;
  what: Effect;
  mass_g: number;
}

/** A count that is not deleted; `knew` are the movements and counts it took into account. */
export interface LedgerCount {
  rid: string;
  counted_g: number;
  knew: readonly string[];
  /** YYYY-MM-DDTHH:MM:SSZ */
  at: string;
}

export interface Stock {
  /** May be negative: something was used that nobody stored. */
  mass_g: number;
  /** The count it rests on; null: on movements alone. */
  count: string | null;
  /** Counts that knew nothing of each other: people should look. */
  has_rivals: boolean;
}

/** A pack that is thawed or frozen again changes its place, not the stock. */
const SIGN: Readonly<Record<Effect, -1 | 0 | 1>> = {
  stored: 1,
  used: -1,
  discarded: -1,
  thawed: 0,
  refrozen: 0,
};

function total_g(movements: readonly LedgerMovement[]): number {
  return movements.reduce((sum, { what, mass_g }) => sum + SIGN[what] * mass_g, 0);
}

function unsuperseded(counts: readonly LedgerCount[]): readonly LedgerCount[] {
  const known = new Set(counts.flatMap(({ rid, knew }) => knew.filter((id) => id !== rid)));
  const held = counts.filter(({ rid }) => !known.has(rid));
  // Counts that claim to have known each other leave none; then none has the last word.
  return held.length > 0 ? held : counts;
}

function isLater(a: LedgerCount, b: LedgerCount): boolean {
  const difference = Date.parse(a.at) - Date.parse(b.at);
  return difference === 0 ? a.rid > b.rid : difference > 0;
}

/**
 * The stock [g] of one lot or set of bags.
 *
 * The count that no other count knew holds, plus the movements it did not know. Of several
 * such counts the latest holds and the rest are rivals; differences are never added up, for
 * two people counting the same shelf would correct it twice. `packed_g` is what bags held
 * when packed; a lot starts empty.
 */
export function stockOf(
  movements: readonly LedgerMovement[],
  counts: readonly LedgerCount[],
  packed_g = 0,
): Stock {
  const held = unsuperseded(counts);
  const [first, ...others] = held;
  if (!first) {
    const start_g = movements.some(({ what }) => what === 'stored') ? 0 : packed_g;
    return { mass_g: start_g + total_g(movements), count: null, has_rivals: false };
  }
  const count = others.reduce((last, each) => (isLater(each, last) ? each : last), first);
  const knew = new Set(count.knew);
  const unknown = movements.filter(({ rid }) => !knew.has(rid));
  return {
    mass_g: count.counted_g + total_g(unknown),
    count: count.rid,
    has_rivals: others.length > 0,
  };
}
