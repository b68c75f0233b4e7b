/** What is to be done when, and whose it is: duties as stored, and what the rotas add to them. */
import { dutyId, records, type Rec } from '../../db/store.svelte';
import type { Duty, Rota } from '../../domain/kinds';
import { turnsBetween } from '../../domain/rota';
import { addDays, dayOf, instantAt } from '../../ui/days';

/** A duty as it stands. One of a rota is stored only once somebody has done something about it. */
export interface Due {
  /** The id it has, or will have on every phone. */
  readonly rid: string;
  readonly values: Duty;
  readonly rec: Rec<'duty'> | null;
  readonly rota: Rec<'rota'> | null;
}

export interface Span {
  readonly from: string;
  readonly to: string;
  readonly today: string;
  readonly zone: string;
}

/** How far back the last occurrence is looked for that nobody did [days]: the longest repetition. */
const LOOK_BACK_DAYS = 366;

/** What a duty of the rota is on a day, before anybody touches it. */
function dutyOf(rota: Rota, day: string, assignee: string | null, zone: string): Duty {
  return {
    what: rota.what,
    title: rota.title ?? null,
    dog: rota.dog ?? null,
    due_at: instantAt(day, rota.time, zone),
    assignee,
  };
}

function occurrences(rota: Rec<'rota'>, { from, to, today, zone }: Span): Due[] {
  const yesterday = addDays(today, -1);
  // Of those that were missed only the last: a weighing of last week is made good by this one.
  const missed =
    from > yesterday
      ? turnsBetween(rota.values, addDays(today, -LOOK_BACK_DAYS), yesterday).slice(-1)
      : [];
  return [...missed, ...turnsBetween(rota.values, from, to)].map(({ day, assignee }) => ({
    rid: dutyId(rota.rid, day),
    values: dutyOf(rota.values, day, assignee, zone),
    rec: null,
    rota,
  }));
}

/** A stored duty; where nobody was named for it, it is whose turn it is. */
function standing(rec: Rec<'duty'>, turn: Due | undefined): Due {
  const assignee = rec.values.assignee ?? turn?.values.assignee ?? null;
  return { rid: rec.rid, values: { ...rec.values, assignee }, rec, rota: turn?.rota ?? null };
}

/** All stored duties, and the occurrences of the rotas in the span that are not stored yet. */
export function dueList(
  stored: readonly Rec<'duty'>[],
  rotas: readonly Rec<'rota'>[],
  span: Span,
): Due[] {
  const worked = new Map(
    rotas.flatMap((rota) => occurrences(rota, span)).map((due) => [due.rid, due]),
  );
  const known = new Set(stored.map(({ rid }) => rid));
  return [
    ...stored.filter(({ gone }) => !gone).map((rec) => standing(rec, worked.get(rec.rid))),
    ...[...worked.values()].filter(({ rid }) => !known.has(rid)),
  ];
}

/** Reads them; those struck off too, since their rota would bring them back. */
export async function readDues(span: Span): Promise<Due[]> {
  const [stored, rotas] = await Promise.all([records('duty', { gone: true }), records('rota')]);
  return dueList(stored, rotas, span);
}

export interface DueParts {
  readonly late: readonly Due[];
  readonly today: readonly Due[];
  readonly ahead: readonly Due[];
  /** What is written down for a day after the span; of rotas nothing is worked out there. */
  readonly later: readonly Due[];
  readonly undated: readonly Due[];
  readonly done: readonly Due[];
}

function byTime(a: Due, b: Due): number {
  return (a.values.due_at ?? '').localeCompare(b.values.due_at ?? '') || (a.rid < b.rid ? -1 : 1);
}

/** The page's parts: late, today, ahead, later, without a day; done from a day on, the newest first. */
export function partsOf(dues: readonly Due[], { from, to, today, zone }: Span): DueParts {
  const isDone = ({ values }: Due): boolean => values.done != null;
  const dayOfDue = ({ values }: Due): string | null =>
    values.due_at ? dayOf(values.due_at, zone) : null;
  const open = dues.filter((due) => !isDone(due)).sort(byTime);
  const on = (test: (day: string) => boolean): Due[] =>
    open.filter((due) => {
      const day = dayOfDue(due);
      return day !== null && test(day);
    });
  return {
    late: on((day) => day < today),
    today: on((day) => day === today),
    ahead: on((day) => day > today && day <= to),
    later: on((day) => day > to),
    undated: open.filter((due) => dayOfDue(due) === null),
    done: dues
      .filter(({ values }) => values.done != null && dayOf(values.done.at, zone) >= from)
      .sort((a, b) => (b.values.done?.at ?? '').localeCompare(a.values.done?.at ?? '')),
  };
}

/** The next duty of the same rota that is the other person's: what this one can be swapped for. */
export function swapFor(due: Due, dues: readonly Due[]): Due | null {
  const { assignee } = due.values;
  if (due.rota === null || assignee == null) return null;
  const others = dues.filter(
    ({ rota, values }) =>
      rota?.rid === due.rota?.rid &&
      values.done == null &&
      values.assignee != null &&
      values.assignee !== assignee &&
      (values.due_at ?? '') > (due.values.due_at ?? ''),
  );
  return [...others].sort(byTime)[0] ?? null;
}
