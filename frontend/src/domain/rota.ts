/**
 * On which days a rota falls, and whose turn each is: worked out from the rota alone.
 *
 * household/prep/rota.py is the same function; fixtures/vectors/rota.json proves it.
 */

export interface Repetition {
  readonly starts_on: string;
  readonly ends_on?: string | null;
  readonly repeats: {
    readonly every_days?: number | null;
    readonly weekdays?: readonly string[] | null;
  };
  readonly turns?: readonly string[] | null;
}

export interface Turn {
  readonly day: string;
  /** Null: anyone's. */
  readonly assignee: string | null;
}

export const WEEK = ['mon', 'tue', 'wed', 'thu', 'fri', 'sat', 'sun'] as const;

const DAY_MS = 86_400_000;

/** Days since 1970, so that no change of the clocks can drop or double one. */
function numberOf(day: string): number {
  return Date.parse(`${day}T00:00:00Z`) / DAY_MS;
}

function dayOf(number: number): string {
  return new Date(number * DAY_MS).toISOString().slice(0, 10);
}

/** 1 January 1970 was a Thursday. */
function weekdayOf(number: number): string {
  return WEEK[(((number + 3) % 7) + 7) % 7] ?? '';
}

function fallsOn({ starts_on, repeats }: Repetition, number: number): boolean {
  if (repeats.every_days) return (number - numberOf(starts_on)) % repeats.every_days === 0;
  return (repeats.weekdays ?? []).includes(weekdayOf(number));
}

/** How many occurrences lie before this day. */
function occurrencesBefore({ starts_on, repeats }: Repetition, number: number): number {
  const start = numberOf(starts_on);
  const past_days = number - start;
  if (repeats.every_days) return Math.floor(past_days / repeats.every_days);
  const weekdays = new Set(repeats.weekdays ?? []);
  // Whole weeks are counted, not walked: a rota may be years old.
  let count = Math.floor(past_days / 7) * weekdays.size;
  for (let rest = 0; rest < past_days % 7; rest += 1) {
    if (weekdays.has(weekdayOf(start + rest))) count += 1;
  }
  return count;
}

/** The occurrences from first to last day inclusive, each with whose turn it is. */
export function turnsBetween(rota: Repetition, first: string, last: string): Turn[] {
  const start = Math.max(numberOf(first), numberOf(rota.starts_on));
  const end = Math.min(numberOf(last), rota.ends_on ? numberOf(rota.ends_on) : Infinity);
  const people = rota.turns ?? [];
  const turns: Turn[] = [];
  for (let number = start; number <= end; number += 1) {
    if (!fallsOn(rota, number)) continue;
    const turn = people[occurrencesBefore(rota, number) % people.length];
    turns.push({ day: dayOf(number), assignee: turn ?? null });
  }
  return turns;
}
