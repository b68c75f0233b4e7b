/**
 * What is in store, folded from the ledger of a lot or of bags.
 *
 * Stock is never a number that somebody edits: it is what was counted last plus what moved since.
 * A count names the entries its author had on screen (`knew`); entries it did not know come on top.
 */
import { knownMass, looksAlike, type Units } from '../../ui/words';
import { stockOf, type LedgerCount, type LedgerMovement } from '../../domain/ledger';

export interface MovementEntry extends LedgerMovement {
  readonly at: string;
  /** How a pack was thawed; older entries do not say, and mean the fridge. */
  readonly way?: ThawWay | null | undefined;
}

export type ThawWay = 'fridge' | 'cold_water';

export interface Thaw {
  readonly since: string;
  readonly mass_g: number;
  readonly way: ThawWay;
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
 * The thawed packs still in the fridge. What is taken out, or frozen again, comes from the oldest
 * thawed pack first: nobody opens a frozen pack while a thawed one waits. What was taken before a
 * thaw came from the freezer.
 */
export function thawsLeft(movements: readonly MovementEntry[]): Thaw[] {
  const thaws: { since: string; mass_g: number; way: ThawWay }[] = [];
  for (const movement of [...movements].sort(byTime)) {
    const { what, mass_g, at, way } = movement;
    if (what === 'thawed') thaws.push({ since: at, mass_g, way: way ?? 'fridge' });
    if (what === 'stored' || what === 'thawed') continue;
    let left_g = mass_g;
    for (const thaw of thaws) {
      const taken_g = Math.min(thaw.mass_g, left_g);
      thaw.mass_g -= taken_g;
      left_g -= taken_g;
    }
  }
  return together(thaws.filter((thaw) => thaw.mass_g > 0));
}

/** Packs that were moved in one go are one entry. */
function together(thaws: readonly Thaw[]): Thaw[] {
  const kept = new Map<string, Thaw>();
  for (const thaw of thaws) {
    const key = `${thaw.since} ${thaw.way}`;
    kept.set(key, { ...thaw, mass_g: thaw.mass_g + (kept.get(key)?.mass_g ?? 0) });
  }
  return [...kept.values()];
}

/** Keeps the newest thaws, up to what a count says is there at all. */
function clipped(thaws: readonly Thaw[], most_g: number): Thaw[] {
  let room_g = Math.max(0, most_g);
  const kept: Thaw[] = [];
  for (const thaw of [...thaws].reverse()) {
    const mass_g = Math.min(thaw.mass_g, room_g);
    room_g -= mass_g;
    if (mass_g > 0) kept.unshift({ ...thaw, mass_g });
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

/** Our choice: what a twentieth of a pack or more is off was taken, and not rounded away. */
const OFF_SHARE = 1 / 20;

/**
 * The packs as a member sees them. A pack of so many ounces is kept in whole grams, up to half a
 * gram off: four of 8 oz, 227 g each, are 1 g more than the 2 lb they were divided from. That is no
 * pack too few, nor is a gram more a rest.
 */
export function packsSeen(
  mass_g: number,
  pack_mass_g: number | null,
  units: Units,
): ReturnType<typeof packs> {
  const exact = packs(mass_g, pack_mass_g);
  if (exact === null || pack_mass_g === null || units === 'metric') return exact;
  const count = Math.round(mass_g / pack_mass_g);
  const off_g = Math.abs(mass_g - count * pack_mass_g);
  return off_g <= Math.min(count / 2, pack_mass_g * OFF_SHARE) ? { count, rest_g: 0 } : exact;
}

/**
 * Grams that somebody counted. Where packs and scale show what the book says, it is what the book
 * says: a count corrects nothing by rounding.
 *
 * @param book_g what there is by the ledger [g]
 */
export function countedMass_g(
  { whole, pack_g, loose_g }: { whole: number; pack_g: number; loose_g: number },
  book_g: number,
  units: Units,
): number {
  const seen = packsSeen(book_g, pack_g, units);
  if (seen?.count === whole && looksAlike(loose_g, seen.rest_g, units)) return book_g;
  return whole * pack_g + knownMass(loose_g, book_g - whole * pack_g, units);
}

/** Oldest first, so that the eye meets first what should be used first; undated ones last. */
export function oldestFirst<T extends { readonly date: string | null }>(rows: readonly T[]): T[] {
  return [...rows].sort((a, b) => (a.date ?? '9999').localeCompare(b.date ?? '9999'));
}
