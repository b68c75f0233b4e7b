/**
 * Signs for which a person should ring the vet. They are shown, never judged: nothing here says
 * what a dog has.
 *
 * The reasons are rows of the cautions table (general veterinary advice, marked there); a title
 * that stands on its own is kept here, for a phone that has no table yet.
 */
import type { Rec } from '../../db/store.svelte';
import type { Observation } from '../../domain/kinds';
import type { Tables } from '../../domain/tables';

export interface Sign {
  readonly key: string;
  /** What to do and why, complete by itself. */
  readonly title: string;
  /** Moment of the cautions table that gives the reason. */
  readonly moment: string;
}

export interface SeenAt {
  readonly at: string;
  readonly topic: Observation['topic'];
  readonly word?: string | null | undefined;
  readonly flags?: readonly string[] | null | undefined;
}

export interface ServedAt {
  readonly at: string;
  /** Share of the serving that was eaten, 0 to 1; null when nobody noted it. */
  readonly eaten: number | null;
  readonly appetite: string | null;
}

const DAY_MS = 86_400_000;

function isWithinDay(earlier: string, later: string): boolean {
  const apart = Date.parse(later) - Date.parse(earlier);
  return apart >= 0 && apart <= DAY_MS;
}

function stoolSigns(seen: SeenAt, before: readonly SeenAt[]): Sign[] {
  const flags = seen.flags ?? [];
  const found: Sign[] = [];
  if (flags.includes('black_tarry'))
    found.push({ key: 'black', title: 'Black stool: ring the vet now', moment: 'ring_now' });
  if (flags.includes('fresh_blood'))
    found.push({ key: 'blood', title: 'Blood in the stool: ring the vet now', moment: 'ring_now' });
  if (flags.includes('straining') && !seen.word)
    found.push({
      key: 'straining',
      title: 'Straining without result: ring the vet now',
      moment: 'ring_now',
    });
  // What was seen is the title; what it may have to do with stands in the caution's own words.
  if (flags.includes('pale_chalky'))
    found.push({ key: 'bone', title: 'Pale, chalky stool', moment: 'bone' });
  else if (flags.includes('straining') && seen.word === 'dry_pellets')
    found.push({ key: 'bone', title: 'Hard, dry stool with straining', moment: 'bone' });
  const liquids = before.filter(
    (other) => other.topic === 'stool' && other.word === 'liquid' && isWithinDay(other.at, seen.at),
  );
  // Common practice, no source: three liquid stools within a day.
  if (seen.word === 'liquid' && liquids.length >= 2)
    found.push({
      key: 'liquid',
      title: 'Third liquid stool within a day: ring the vet today',
      moment: 'sick',
    });
  return found;
}

function vomitingSigns(seen: SeenAt, before: readonly SeenAt[]): Sign[] {
  const others = before.filter(
    (other) => other.topic === 'vomiting' && isWithinDay(other.at, seen.at),
  );
  if (others.length === 0) return [];
  return [
    { key: 'vomiting', title: 'Vomited again within a day: ring the vet now', moment: 'ring_now' },
  ];
}

/**
 * Whether a dog has eaten nothing for a day: two meals or more within 24 hours before `at`, none
 * of which it touched. Meals nobody noted anything about say nothing and end the search.
 */
export function isNotEating(served: readonly ServedAt[], at: string): boolean {
  const recent = served.filter((serving) => isWithinDay(serving.at, at));
  return (
    recent.length >= 2 &&
    recent.every((serving) => serving.appetite === 'left_it' || serving.eaten === 0)
  );
}

export interface Around {
  /** What was seen before, this entry left out. */
  readonly seen: readonly SeenAt[];
  /** Meals before, and the one being written. */
  readonly served: readonly ServedAt[];
  /** A puppy must not go without food for a day; one meal is enough to ring. */
  readonly isPuppy: boolean;
}

/** What stands beside an entry: a written one that is opened again must not count twice. */
export function seenBeside(
  observations: readonly Pick<Rec<'observation'>, 'rid' | 'values'>[],
  opened: string | undefined,
): SeenAt[] {
  return observations.filter(({ rid }) => rid !== opened).map(({ values }) => values);
}

/** Signs in an entry that is being written, or has been. */
export function signsOf(entry: SeenAt, around: Around): Sign[] {
  const before = around.seen.filter((other) => other.at <= entry.at);
  if (entry.topic === 'stool') return stoolSigns(entry, before);
  if (entry.topic === 'vomiting') return vomitingSigns(entry, before);
  if (entry.topic === 'appetite') return appetiteSigns(entry, around);
  return [];
}

function appetiteSigns(entry: SeenAt, around: Around): Sign[] {
  if (entry.word !== 'left_it') return [];
  if (around.isPuppy)
    return [
      {
        key: 'puppy',
        title: 'A puppy that leaves its food: ring the vet today',
        moment: 'not_eating',
      },
    ];
  if (!isNotEating([...around.served, { at: entry.at, eaten: 0, appetite: 'left_it' }], entry.at))
    return [];
  return [
    { key: 'fasting', title: 'Nothing eaten for a day: ring the vet today', moment: 'not_eating' },
  ];
}

/** The reason for a sign and where it comes from, as far as this phone has the tables. */
export function reasonOf(
  sign: Sign,
  tables: Tables | null,
): { text: string | undefined; sources: string[] } {
  const rows = tables?.cautions.filter((caution) => caution.moment === sign.moment) ?? [];
  const row =
    sign.moment === 'bone'
      ? (rows.find((caution) => caution.key === 'bone-stool') ?? rows[0])
      : rows[0];
  if (!row) return { text: undefined, sources: [] };
  const source = tables?.sources[row.source];
  return {
    text: row.text,
    sources: source ? [`${source.title}, ${source.publisher}`] : [row.source],
  };
}
