/** The form of a duty, once or again and again: what is typed, and what becomes of it. */
import type { Duty, Rota, Weekday } from '../../domain/kinds';
import { instantAt, isDay } from '../../ui/days';

export type How = 'once' | 'days' | 'weekdays';

export interface DutyForm {
  readonly what: Duty['what'];
  readonly title: string;
  readonly dog: string | null;
  readonly how: How;
  readonly day: string;
  readonly time: string;
  readonly every_days: number;
  readonly weekdays: readonly Weekday[];
  /** In the order of their turns; one at most for what is done once. */
  readonly people: readonly string[];
}

/** The longest title that is kept. */
export const MOST_TITLE = 120;

export function newForm(today: string): DutyForm {
  return {
    what: 'shop',
    title: '',
    dog: null,
    how: 'once',
    day: today,
    time: '18:00',
    every_days: 7,
    weekdays: [],
    people: [],
  };
}

export function formOf(rota: Rota): DutyForm {
  const { every_days, weekdays } = rota.repeats;
  return {
    what: rota.what,
    title: rota.title ?? '',
    dog: rota.dog ?? null,
    how: every_days ? 'days' : 'weekdays',
    day: rota.starts_on,
    time: rota.time,
    every_days: every_days ?? 7,
    weekdays: weekdays ?? [],
    people: rota.turns ?? [],
  };
}

/**
 * Who can be ticked: the planners, and whoever was chosen before and left or became a sitter, or
 * nobody could take them out of the turns.
 */
export function choosable(
  planners: readonly { readonly id: string }[],
  opened: DutyForm,
): string[] {
  return [...new Set([...planners.map(({ id }) => id), ...opened.people])];
}

/** What is still missing, as the words of the button; undefined when it can be saved. */
export function missing(form: DutyForm): string | undefined {
  if (form.day === '') return 'A day first';
  if (!isDay(form.day)) return 'Check the day';
  if (form.time === '') return 'A time first';
  if ([...form.title.trim()].length > MOST_TITLE) return 'A shorter title first';
  if (form.what === 'other' && form.title.trim() === '') return 'A title first';
  if (form.how === 'weekdays' && form.weekdays.length === 0) return 'A weekday first';
  return undefined;
}

function shared(form: DutyForm): Pick<Duty, 'what' | 'title' | 'dog'> {
  return { what: form.what, title: form.title.trim() || null, dog: form.dog };
}

export function dutyFrom(form: DutyForm, zone: string): Duty {
  return {
    ...shared(form),
    due_at: instantAt(form.day, form.time, zone),
    assignee: form.people[0] ?? null,
  };
}

export function rotaFrom(form: DutyForm): Rota {
  return {
    ...shared(form),
    starts_on: form.day,
    time: form.time,
    repeats:
      form.how === 'days' ? { every_days: form.every_days } : { weekdays: [...form.weekdays] },
    turns: [...form.people],
  };
}
