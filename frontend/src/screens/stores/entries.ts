/** The ledger of one lot or one set of bags, newest first, in words. */
import type { Rec } from '../../db/store.svelte';
import type { Stocked } from './larder';

export type Entry =
  | { readonly kind: 'movement'; readonly rec: Rec<'movement'>; readonly at: string }
  | { readonly kind: 'count'; readonly rec: Rec<'count'>; readonly at: string };

const WORDS: Readonly<Record<string, string>> = {
  stored: 'Put in store',
  thawed: 'To the fridge, to thaw',
  refrozen: 'Frozen again',
  used: 'Used',
  discarded: 'Thrown away',
};

/** Movements and counts together, newest first. */
export function entriesOf(
  movements: readonly Rec<'movement'>[],
  counts: readonly Rec<'count'>[],
): Entry[] {
  const entries: Entry[] = [
    ...movements.map((rec) => ({ kind: 'movement' as const, rec, at: rec.values.at })),
    ...counts.map((rec) => ({ kind: 'count' as const, rec, at: rec.values.at })),
  ];
  return entries.sort((a, b) => b.at.localeCompare(a.at) || b.rec.rid.localeCompare(a.rec.rid));
}

/** What an entry did: "Used", "Counted". */
export function entryTitle(entry: Entry): string {
  if (entry.kind === 'count') return 'Counted';
  if (entry.rec.values.way === 'cold_water') return 'Thawed in cold water';
  if (entry.rec.values.into) return 'Divided into smaller packs';
  return WORDS[entry.rec.values.what] ?? 'Moved';
}

/**
 * Whether an entry is one half of a division. Taken back alone, the mass would stand in both lots or
 * in none; both halves go when the smaller packs are taken out of the book.
 */
export function isHalfOfDivision(
  entry: Entry,
  { rec }: Pick<Stocked<'lot'> | Stocked<'bag'>, 'rec'>,
): boolean {
  if (entry.kind !== 'movement') return false;
  const { what, into } = entry.rec.values;
  return into != null || (what === 'stored' && rec.entity === 'lot' && !!rec.values.divided_from);
}

/** The mass of an entry [g]. */
export function entryMass_g(entry: Entry): number {
  return entry.kind === 'count' ? entry.rec.values.counted_g : entry.rec.values.mass_g;
}
