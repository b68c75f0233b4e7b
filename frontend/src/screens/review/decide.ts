/** From an alert to a duty: who does it, until when. */
import type { Duty } from '../../domain/kinds';
import type { SummaryAlert } from '../../domain/summary';
import { addDays, instantAt } from '../../ui/days';

export interface Deciding {
  readonly alert: SummaryAlert;
  readonly dog: string;
  readonly assignee: string;
  readonly week: string;
  readonly today: string;
  readonly zone: string;
}

/** The longest title a duty takes. */
const MOST_TITLE = 120;

/** Ties a duty to the alert it came from, in words a person can read too. */
export function noteOf(alert: SummaryAlert, week: string): string {
  return `From the review of week ${Number(week.slice(6))}, ${week.slice(0, 4)}: ${alert.title}`;
}

function whatOf(alert: SummaryAlert): Duty['what'] {
  const next = alert.next.toLowerCase();
  if (/^ring the vet/.test(next)) return 'ring_vet';
  if (/^weigh/.test(next)) return 'weigh';
  if (/^buy|shopping/.test(next)) return 'shop';
  return 'other';
}

/** A duty is due this evening when it cannot wait, else in three days. */
function dueOf(alert: SummaryAlert, today: string, zone: string): string {
  const isToday = /\btoday\b|\bat once\b/.test(alert.next.toLowerCase());
  return instantAt(isToday ? today : addDays(today, 3), '18:00', zone);
}

/** What to do as a title: the first sentence of "Next", cut at a word where it is too long. */
export function titleOf(alert: SummaryAlert): string {
  const first = alert.next.split(/(?<=[.;])\s/)[0]?.replace(/[.;]$/, '') ?? alert.next;
  const text = first.charAt(0).toUpperCase() + first.slice(1);
  if (text.length <= MOST_TITLE) return text;
  return `${text.slice(0, MOST_TITLE - 2).replace(/\s+\S*$/, '')} …`;
}

/** The duty that an alert becomes. */
export function dutyFor({ alert, dog, assignee, week, today, zone }: Deciding): Duty {
  return {
    what: whatOf(alert),
    title: titleOf(alert),
    dog,
    due_at: dueOf(alert, today, zone),
    assignee,
    note: noteOf(alert, week),
  };
}
