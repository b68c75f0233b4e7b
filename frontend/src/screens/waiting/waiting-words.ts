/** What waits, in kitchen words: one line an entry, a meal and its dogs as one. */
import type { Entry } from '../../db/store.svelte';
import type { Observation, Serving } from '../../domain/kinds';
import { capital, countWord, foodMass, bodyMass, type Units } from '../../ui/words';
import { appetiteTitle, observationTitle } from '../dogs/observations';

export interface WaitingRow {
  readonly key: string;
  readonly at: number;
  readonly title: string;
  readonly detail: string | undefined;
  readonly entries: readonly Entry[];
}

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

/** A single entry as one line. */
export function entryTitle(entry: Entry, units: Units): string {
  const subject = entry.subject ?? '';
  if (entry.entity === 'movement') return movementTitle(entry, units);
  if (entry.verb === 'deleted')
    return capital(`${entry.kind} taken away${subject ? `: ${subject}` : ''}`);
  if (entry.verb === 'brought back')
    return capital(`${entry.kind} brought back${subject ? `: ${subject}` : ''}`);
  const said = spoken(entry, units);
  if (said !== null) return subject ? `${subject}: ${said}` : capital(said);
  const verb = entry.verb === 'added' ? '' : ' changed';
  return subject ? `${subject}: ${entry.kind}${verb}` : capital(`${entry.kind}${verb}`);
}

function movementTitle({ set, verb }: Entry, units: Units): string {
  const mass = typeof set['mass_g'] === 'number' ? `: ${foodMass(set['mass_g'], units)}` : '';
  if (verb === 'deleted') return 'Back in store';
  switch (set['what']) {
    case 'stored':
      return `Put in store${mass}`;
    case 'thawed':
      return `Pulled from the freezer${mass}`;
    case 'discarded':
      return `Thrown away${mass}`;
    default:
      return `Taken from store${mass}`;
  }
}

function spoken(entry: Entry, units: Units): string | null {
  const { set } = entry;
  if (entry.entity === 'weighing' && typeof set['mass_g'] === 'number')
    return bodyMass(set['mass_g'], units);
  if (entry.entity === 'observation' && typeof set['topic'] === 'string') {
    return lower(observationTitle(set as unknown as Observation));
  }
  if (entry.entity === 'serving') {
    const serving = set as Partial<Serving>;
    if (serving.appetite) return lower(appetiteTitle(serving.appetite));
    if (typeof serving.offered_g === 'number') return foodMass(serving.offered_g, units);
  }
  if (entry.entity === 'weigh_in' && typeof set['mass_g'] === 'number')
    return `${foodMass(set['mass_g'], units)} put in`;
  return null;
}

function lower(words: string): string {
  return words.charAt(0).toLowerCase() + words.slice(1);
}

function detailOf(entry: Entry): string | undefined {
  const words = entry.details.map(({ label, value }) => `${label} ${value}`).join(', ');
  return words === '' ? undefined : capital(words);
}

/** Rows for the list, in the order they were entered. */
export function waitingRows(entries: readonly Entry[], units: Units): WaitingRow[] {
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
    return {
      key,
      at: first.occurred_at,
      title: isMeal ? mealTitle(group) : entryTitle(first, units),
      detail: isMeal ? undefined : detailOf(first),
      entries: group,
    };
  });
}
