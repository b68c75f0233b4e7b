/** What else the day holds: duties and batches, beside the meals, in the order of the clock. */
import type { Rec } from '../../db/store.svelte';
import type { Duty } from '../../domain/kinds';
import { clockOf, dayOf, dayWords } from '../../ui/days';
import type { Due } from '../duties/due';
import { isRawWhileAway, RAW_WHILE_AWAY } from './travel';

export interface DayRow {
  readonly key: string;
  /** "08:00"; empty when only the day is known. */
  readonly time: string;
  readonly over: string | undefined;
  readonly title: string;
  readonly detail: string | undefined;
  readonly who: string | null;
  readonly href: string | undefined;
  readonly duty: Due | null;
  readonly tone: 'alert' | undefined;
}

export const dutyTitles: Readonly<Record<Duty['what'], string>> = {
  pull: 'Pull from the freezer',
  grind: 'Grind',
  feed: 'Feed',
  weigh: 'Weigh',
  shop: 'Shop',
  ring_vet: 'Ring the vet',
  other: 'To do',
};

export function dutyTitle(duty: Duty, dogName: string | null): string {
  const title = duty.title?.trim();
  if (title) return title;
  return dogName ? `${dutyTitles[duty.what]}: ${dogName}` : dutyTitles[duty.what];
}

interface Moment {
  readonly day: string;
  readonly today: string;
  readonly zone: string;
  readonly travels: readonly Rec<'travel'>[];
}

/** Duties that are due on the day, and on today also those that are late; feeding is in the meals. */
export function dutyRows(
  duties: readonly Due[],
  { day, today, zone, travels }: Moment,
  dogName: (rid: string) => string | null,
): DayRow[] {
  return duties
    .filter(
      ({ values }) => values.what !== 'feed' && (values.done === null || values.done === undefined),
    )
    .flatMap((duty): DayRow[] => {
      const { due_at, assignee, dog, what } = duty.values;
      const dueDay = due_at ? dayOf(due_at, zone) : null;
      const isLate = dueDay !== null && dueDay < day;
      if (dueDay !== day && !(day === today && (isLate || dueDay === null))) return [];
      return [
        {
          key: duty.rid,
          time: due_at && !isLate ? clockOf(due_at, zone) : '',
          over:
            isLate && due_at
              ? `since ${dayWords(dayOf(due_at, zone), today)}`
              : due_at
                ? 'by'
                : 'any time',
          title: dutyTitle(duty.values, dog ? dogName(dog) : null),
          detail: isRawWhileAway(what, dueDay, travels) ? RAW_WHILE_AWAY : undefined,
          who: assignee ?? null,
          href: undefined,
          duty,
          tone: what === 'ring_vet' ? 'alert' : undefined,
        },
      ];
    });
}

/** Batches that are planned for the day. */
export function batchRows(
  batches: readonly Rec<'batch'>[],
  { day }: Pick<Moment, 'day'>,
  words: (batch: Rec<'batch'>) => { title: string; detail: string | undefined },
): DayRow[] {
  return batches
    .filter(
      ({ values }) =>
        values.planned_for === day && (values.stage === 'planned' || values.stage === 'weighing'),
    )
    .map((batch) => ({
      key: batch.rid,
      time: '',
      over: 'today',
      ...words(batch),
      who: null,
      href: `/counter/${batch.rid}`,
      duty: null,
      tone: undefined,
    }));
}

/** What is late or has no hour first, then by the clock. */
export function byClock(rows: readonly DayRow[]): DayRow[] {
  return [...rows].sort((a, b) => a.time.localeCompare(b.time) || a.title.localeCompare(b.title));
}
