/**
 * What is in store, folded from the ledger of a lot or of bags.
 *
 * Stock is never a number that somebody edits: it is what was counted last plus what moved since.
 * A count names the entries its author had on screen (`knew`); entries it did not know come on top.
 */

export type MovementWord = 'stored' | 'thawed' | 'used' | 'discarded';

export interface MovementEntry {
  readonly rid: string;
  readonly what: MovementWord;
  readonly mass_g: number;
  readonly at: string;
}

export interface CountEntry {
  readonly rid: string;
  readonly counted_g: number;
  readonly knew: readonly string[];
  readonly at: string;
}

export interface Thaw {
  readonly since: string;
  readonly mass_g: number;
}

export interface Stock {
  /** All of it, wherever it lies [g]. Negative when more was taken out than was ever stored. */
  readonly total_g: number;
  /** The part that was moved to the fridge to thaw and is still there, oldest first. */
  readonly thaws: readonly Thaw[];
  readonly thawed_g: number;
  /** What still lies where the lot was put [g]. */
  readonly in_place_g: number;
  /** Two people counted without having seen each other's count; the later one holds. */
  readonly has_rival_counts: boolean;
}

const EFFECT: Record<MovementWord, number> = { stored: 1, thawed: 0, used: -1, discarded: -1 };

function byTime(a: { at: string; rid: string }, b: { at: string; rid: string }): number {
  return a.at < b.at ? -1 : a.at > b.at ? 1 : a.rid < b.rid ? -1 : 1;
}

/** The counts that no other count has seen, latest first. */
export function standingCounts(counts: readonly CountEntry[]): CountEntry[] {
  const known = new Set(counts.flatMap((count) => count.knew));
  return counts
    .filter((count) => !known.has(count.rid))
    .sort(byTime)
    .reverse();
}

function total_g(movements: readonly MovementEntry[], count: CountEntry | undefined): number {
  const knew = new Set(count?.knew ?? []);
  return movements
    .filter((movement) => !knew.has(movement.rid))
    .reduce(
      (sum, movement) => sum + EFFECT[movement.what] * movement.mass_g,
      count?.counted_g ?? 0,
    );
}

/**
 * The thawed packs still in the fridge. What is taken out comes from the oldest thawed pack first:
 * nobody opens a frozen pack while a thawed one waits. What was taken before a thaw came from the
 * freezer.
 */
function thawsLeft(movements: readonly MovementEntry[]): Thaw[] {
  const thaws: { since: string; mass_g: number }[] = [];
  for (const movement of [...movements].sort(byTime)) {
    if (movement.what === 'thawed') thaws.push({ since: movement.at, mass_g: movement.mass_g });
    if (EFFECT[movement.what] >= 0) continue;
    let left_g = movement.mass_g;
    for (const thaw of thaws) {
      const taken_g = Math.min(thaw.mass_g, left_g);
      thaw.mass_g -= taken_g;
      left_g -= taken_g;
    }
  }
  return thaws.filter((thaw) => thaw.mass_g > 0);
}

/** Keeps the newest thaws, up to what a count says is there at all. */
function clipped(thaws: readonly Thaw[], most_g: number): Thaw[] {
  let room_g = Math.max(0, most_g);
  const kept: Thaw[] = [];
  for (const thaw of [...thaws].reverse()) {
    const mass_g = Math.min(thaw.mass_g, room_g);
    room_g -= mass_g;
    if (mass_g > 0) kept.unshift({ since: thaw.since, mass_g });
  }
  return kept;
}

/** The stock of one lot or one set of bags. */
export function stock(
  movements: readonly MovementEntry[],
  counts: readonly CountEntry[],
  initial_g = 0,
): Stock {
  const standing = standingCounts(counts);
  const count = standing[0];
  const total = total_g(movements, count) + (count === undefined ? initial_g : 0);
  const thaws = clipped(thawsLeft(movements), total);
  const thawed_g = thaws.reduce((sum, thaw) => sum + thaw.mass_g, 0);
  return {
    total_g: total,
    thaws,
    thawed_g,
    in_place_g: total - thawed_g,
    has_rival_counts: new Set(standing.map((each) => each.counted_g)).size > 1,
  };
}

/** What a count must name: every entry that was on the screen when it was made. */
export function knewNow(
  movements: readonly { rid: string }[],
  counts: readonly { rid: string }[],
): string[] {
  return [...movements, ...counts].map((entry) => entry.rid);
}

/** "4 × 1000 g" when the mass is whole packs, else the plain mass; packs of unknown mass too. */
export function packs(
  mass_g: number,
  pack_mass_g: number | null,
): { readonly count: number; readonly rest_g: number } | null {
  if (pack_mass_g === null || pack_mass_g <= 0 || mass_g <= 0) return null;
  const count = Math.floor(mass_g / pack_mass_g);
  return { count, rest_g: mass_g - count * pack_mass_g };
}

/** Oldest first, so that the eye meets first what should be used first; undated ones last. */
export function oldestFirst<T extends { readonly date: string | null }>(rows: readonly T[]): T[] {
  return [...rows].sort((a, b) => (a.date ?? '9999').localeCompare(b.date ?? '9999'));
}
