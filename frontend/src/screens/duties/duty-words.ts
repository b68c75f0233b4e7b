/** Duties and rotas in words: what, when, how often. */
import type { Rec } from '../../db/store.svelte';
import type { Rota, Weekday } from '../../domain/kinds';
import { WEEK } from '../../domain/rota';
import { clockOf, dayOf, dayWords, momentWords } from '../../ui/days';
import { capital, listed } from '../../ui/words';
import { dutyTitle } from '../today/day-rows';
import { isRawWhileAway, RAW_WHILE_AWAY } from '../today/travel';
import type { Due } from './due';

export interface Setting {
  readonly today: string;
  readonly zone: string;
  readonly dogName: (rid: string) => string | null;
  readonly whom: (member: string | null) => string;
  readonly travels: readonly Rec<'travel'>[];
}

export const WEEKDAYS: readonly { readonly value: Weekday; readonly label: string }[] = [
  { value: 'mon', label: 'Monday' },
  { value: 'tue', label: 'Tuesday' },
  { value: 'wed', label: 'Wednesday' },
  { value: 'thu', label: 'Thursday' },
  { value: 'fri', label: 'Friday' },
  { value: 'sat', label: 'Saturday' },
  { value: 'sun', label: 'Sunday' },
];

export function titleOf({ values }: Pick<Due, 'values'>, { dogName }: Setting): string {
  return dutyTitle(values, values.dog ? dogName(values.dog) : null);
}

function every(count: number, unit: string): string {
  return count === 1 ? `every ${unit}` : `every ${count} ${unit}s`;
}

/** "every day", "every 2 weeks", "every Tuesday and Saturday". */
export function repeatWords({ repeats }: Pick<Rota, 'repeats'>): string {
  if (repeats.every_days) {
    const weeks = repeats.every_days / WEEK.length;
    return Number.isInteger(weeks) ? every(weeks, 'week') : every(repeats.every_days, 'day');
  }
  const given = repeats.weekdays ?? [];
  if (new Set(given).size === WEEK.length) return 'every day';
  return `every ${listed(WEEKDAYS.filter(({ value }) => given.includes(value)).map(({ label }) => label))}`;
}

/** "Callum and you in turns", "Callum", "Anyone". */
export function turnsWords({ turns }: Pick<Rota, 'turns'>, { whom }: Setting): string {
  const people = [...new Set(turns ?? [])].map(whom);
  if (people.length === 0) return 'Anyone';
  if (people.length === 1) return listed(people);
  return `${capital(listed(people.map(midWords)))} in turns`;
}

/** A person inside a sentence. */
function midWords(who: string): string {
  return who === 'You' ? 'you' : who;
}

export interface DueRow {
  readonly figure: string;
  readonly over: string | undefined;
  readonly title: string;
  readonly detail: string | undefined;
  readonly aside: string;
  readonly isRawWhileAway: boolean;
}

function doneWords({ values }: Due, setting: Setting): string | undefined {
  if (values.done == null) return undefined;
  const { at, by } = values.done;
  const who = setting.whom(by);
  return `Done by ${midWords(who)}, ${momentWords(at, setting.today, setting.zone)}`;
}

function openWords({ rota }: Due, isAway: boolean): string | undefined {
  const parts = [
    ...(rota ? [capital(repeatWords(rota.values))] : []),
    ...(isAway ? [RAW_WHILE_AWAY] : []),
  ];
  return parts.length > 0 ? parts.join('. ') : undefined;
}

export function dueRow(due: Due, setting: Setting): DueRow {
  const { what, due_at, done } = due.values;
  const day = due_at ? dayOf(due_at, setting.zone) : null;
  const isAway = isRawWhileAway(what, day, setting.travels);
  const who = due.values.assignee ?? done?.by;
  return {
    over: day ? dayWords(day, setting.today) : 'any',
    figure: due_at ? clockOf(due_at, setting.zone) : 'time',
    title: titleOf(due, setting),
    detail: doneWords(due, setting) ?? openWords(due, isAway),
    aside: who ? setting.whom(who) : 'Anyone',
    isRawWhileAway: isAway,
  };
}
