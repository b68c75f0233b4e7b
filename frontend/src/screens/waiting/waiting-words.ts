/** What waits, in kitchen words: one line an entry, a meal and its dogs as one; nothing told twice. */
import type { Entry } from '../../db/store.svelte';
import { kinds } from '../../domain/declared';
import type { Observation, Serving } from '../../domain/kinds';
import { capital, countWord } from '../../ui/words';
import { appetiteTitle, observationTitle } from '../dogs/observations';
import { registerWords, valueWords, type Speech } from './value-words';

export interface WaitingRow {
  readonly key: string;
  readonly at: number;
  readonly title: string;
  readonly detail: string | undefined;
  readonly entries: readonly Entry[];
}

/** An entry as one line, and the registers that the line has told already. */
interface Line {
  readonly title: string;
  readonly told: readonly string[];
}

/** Closer together than this, when it happened and when it was typed are one moment. */
const SAME_MOMENT_MS = 60_000;

/** The meal an entry belongs to: itself, that of its serving, or of the serving that took it from store. */
function mealOf(entry: Entry, mealOfServing: ReadonlyMap<string, string>): string | null {
  if (entry.entity === 'meal') return entry.rid;
  if (entry.entity === 'movement') {
    const serving = entry.set['serving'];
    return typeof serving === 'string' ? (mealOfServing.get(serving) ?? null) : null;
  }
  return entry.entity === 'serving' ? (mealOfServing.get(entry.rid) ?? null) : null;
}

function mealsOfServings(entries: readonly Entry[]): Map<string, string> {
  const meals = new Map<string, string>();
  for (const { entity, rid, set } of entries) {
    const meal = set['meal'];
    if (entity === 'serving' && typeof meal === 'string') meals.set(rid, meal);
  }
  return meals;
}

function mealTitle(entries: readonly Entry[]): string {
  const meal = entries.find((entry) => entry.entity === 'meal');
  const name = meal?.set['name'];
  const called = typeof name === 'string' && name !== '' ? name : (meal?.subject ?? 'A meal');
  const dogs = new Set(
    entries.filter((entry) => entry.entity === 'serving').map((entry) => entry.rid),
  ).size;
  if (dogs === 0) return called;
  return `${called}, ${countWord(dogs)} ${dogs === 1 ? 'dog' : 'dogs'}`;
}

function lineOf(entry: Entry, speech: Speech): Line {
  const subject = entry.subject ?? '';
  const of = (words: string): string => (subject ? `${subject}: ${words}` : capital(words));
  if (entry.verb === 'deleted' || entry.verb === 'brought back') {
    const did = entry.verb === 'deleted' ? 'taken away' : 'brought back';
    return { title: capital(`${entry.kind} ${did}${subject ? `: ${subject}` : ''}`), told: [] };
  }
  const spoken = spokenOf(entry, speech);
  if (spoken) return { title: of(spoken.title), told: spoken.told };
  const isNamed = entry.set['name'] === subject || entry.set['food'] !== undefined;
  const verb = entry.verb === 'added' ? '' : ' changed';
  return { title: of(`${entry.kind}${verb}`), told: isNamed ? ['name', 'food'] : [] };
}

/** A single entry as one line. */
export function entryTitle(entry: Entry, speech: Speech): string {
  return lineOf(entry, speech).title;
}

const MOVED: Readonly<Record<string, string>> = {
  stored: 'put in store',
  thawed: 'pulled from the freezer',
  discarded: 'thrown away',
};

function spokenOf(entry: Entry, speech: Speech): Line | null {
  const { entity, set } = entry;
  const words = (register: string): string =>
    valueWords(entity, register, set[register], entry.naming, speech);
  if (entity === 'movement' && 'what' in set) {
    const did = MOVED[String(set['what'])] ?? 'taken from store';
    return { title: `${did}, ${words('mass_g')}`, told: ['what', 'mass_g', 'serving'] };
  }
  if (entity === 'count')
    return { title: `counted ${words('counted_g')}`, told: ['counted_g', 'knew'] };
  if (entity === 'weighing' && typeof set['mass_g'] === 'number')
    return { title: words('mass_g'), told: ['mass_g'] };
  if (entity === 'observation' && typeof set['topic'] === 'string')
    return {
      title: lower(observationTitle(set as unknown as Observation)),
      told: ['topic', 'word', 'flags'],
    };
  if (entity === 'serving') return servingLine(set, words);
  if (entity === 'weigh_in' && typeof set['mass_g'] === 'number') {
    const food = set['food'] === undefined ? '' : `${words('food')}, `;
    return { title: `${food}${words('mass_g')} put in`, told: ['mass_g', 'food'] };
  }
  return null;
}

function servingLine(set: Partial<Serving>, words: (register: string) => string): Line | null {
  const told = ['meal', 'dog'];
  if (typeof set.offered_g === 'number')
    return { title: words('offered_g'), told: [...told, 'offered_g'] };
  if (set.appetite)
    return { title: lower(appetiteTitle(set.appetite)), told: [...told, 'appetite'] };
  return null;
}

function lower(words: string): string {
  return words.charAt(0).toLowerCase() + words.slice(1);
}

/** Register and value of everything an entry says, each in words. */
export function partsOf(
  entry: Entry,
  speech: Speech,
): { register: string; label: string; words: string }[] {
  return entry.details.map(({ register }) => ({
    register,
    label: registerWords(entry.entity, register),
    words: valueWords(entry.entity, register, entry.set[register], entry.naming, speech),
  }));
}

/** What the title leaves out. */
export function detailOf(entry: Entry, speech: Speech): string | undefined {
  const { told } = lineOf(entry, speech);
  const at = entry.set['at'];
  const isNow =
    typeof at === 'string' && Math.abs(Date.parse(at) - entry.occurred_at) < SAME_MOMENT_MS;
  const left = partsOf(entry, speech).filter(
    ({ register }) => !told.includes(register) && !(register === 'at' && isNow),
  );
  const words = left.map((part) => `${lower(part.label)} ${part.words}`).join(', ');
  return words === '' ? undefined : capital(words);
}

/** How it stands with an entry that waits; undefined where it simply waits its turn. */
export function standing(entry: Entry): string | undefined {
  if (entry.poison) return 'The server failed on this one; it goes last and is tried again';
  if (entry.waits) return 'Waits for the entry it belongs to';
  if (entry.state === 'sent') return 'Sent, and no answer came yet';
  if (kinds[entry.entity] === undefined) return 'A kind of entry this app does not know yet';
  return undefined;
}

/** Rows for the list, in the order they were entered. */
export function waitingRows(entries: readonly Entry[], speech: Speech): WaitingRow[] {
  const groups = new Map<string, Entry[]>();
  const mealOfServing = mealsOfServings(entries);
  for (const entry of entries) {
    const meal = entry.verb === 'added' ? mealOf(entry, mealOfServing) : null;
    const key = meal === null ? entry.op_id : `meal ${meal}`;
    groups.set(key, [...(groups.get(key) ?? []), entry]);
  }
  return [...groups].map(([key, group]) => {
    const first = group[0];
    if (first === undefined) throw new Error('A group of entries is never empty.');
    const isMeal = key.startsWith('meal ') && group.length > 1;
    const said = [
      group.map(standing).find((words) => words !== undefined),
      isMeal ? undefined : detailOf(first, speech),
    ].filter((words) => words !== undefined);
    return {
      key,
      at: first.occurred_at,
      title: isMeal ? mealTitle(group) : entryTitle(first, speech),
      detail: said.length === 0 ? undefined : said.join('. '),
      entries: group,
    };
  });
}
