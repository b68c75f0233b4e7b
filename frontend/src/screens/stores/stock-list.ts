/**
 * What is in store, folded from the ledger of a lot or of bags.
 *
 * Stock is never a number that somebody edits: it is what was counted last plus what moved since.
 * A count names the entries its author had on screen (`knew`); entries it did not know come on top.
 */
import { stockOf, type LedgerCount, type LedgerMovement } from '../../domain/ledger';

export interface MovementEntry extends LedgerMovement {
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

function byTime(a: { at: string; rid: string }, b: { at: string; rid: string }): number {
  return a.at < b.at ? -1 : a.at > b.at ? 1 : a.rid < b.rid ? -1 : 1;
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
    if (movement.what !== 'used' && movement.what !== 'discarded') continue;
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

/** The stock of one lot or one set of bags; `packed_g` is what bags held when they were packed. */
export function stock(
  movements: readonly MovementEntry[],
  counts: readonly LedgerCount[],
  packed_g = 0,
): Stock {
  const { mass_g, has_rivals } = stockOf(movements, counts, packed_g);
  const thaws = clipped(thawsLeft(movements), mass_g);
  const thawed_g = thaws.reduce((sum, thaw) => sum + thaw.mass_g, 0);
  return {
    total_g: mass_g,
    thaws,
    thawed_g,
    in_place_g: mass_g - thawed_g,
    has_rival_counts: has_rivals,
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
