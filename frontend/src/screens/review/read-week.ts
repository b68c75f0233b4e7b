/** A week of the household, from the summaries the server wrote and from this phone's own records. */
import { records, recordsOf, type Rec } from '../../db/store.svelte';
import type { SummaryBody } from '../../domain/summary';
import { addDays, dayOf } from '../../ui/days';
import { readDogs } from '../plan/eaters';
import { kitchenOf } from '../plan/judged';
import { ownBody, type Asked, type Read } from './own-body';
import { endsOf } from './week';
import { workOf, workSpan, type Work } from './work';

export interface DogWeek {
  readonly dog: Rec<'dog'>;
  readonly body: SummaryBody;
  /** The server wrote it; else it is worked out from this phone's own records. */
  readonly isWritten: boolean;
}

export interface HouseholdWeek {
  readonly week: string;
  /** The household's dogs, then those archived since of which the week tells something. */
  readonly dogs: readonly DogWeek[];
  /** Energy eaten by week and dog, for the weeks that have a summary. */
  readonly history: ReadonlyMap<string, readonly SummaryBody[]>;
  readonly duties: readonly Rec<'duty'>[];
  /** Who did what up to the end of the week, from this phone’s own records. */
  readonly work: Work;
  /** The latest week with a summary. */
  readonly latestWritten: string | null;
}

/** Whether a stored body has what this version of the page reads. */
function isBody(body: unknown): body is SummaryBody {
  if (typeof body !== 'object' || body === null) return false;
  const parts = body as Partial<SummaryBody>;
  return Boolean(
    parts.weight && parts.energy && parts.appetite && parts.stool && parts.adequacy && parts.alerts,
  );
}

function byRid<R extends { readonly rid: string }>(rows: readonly R[]): Map<string, R> {
  return new Map(rows.map((row) => [row.rid, row]));
}

/** Everything the page needs; meant for `live`. */
export async function readWeek(asked: Asked): Promise<HouseholdWeek> {
  const days = endsOf(asked.week);
  const span = workSpan(days, asked.today);
  const first = span.from < days.from ? span.from : days.from;
  // A day either side, since instants are UTC and days are the household's.
  const around = { from: addDays(first, -1), to: addDays(days.to, 1) };
  const [all, archived, summaries, meals, weighings, observations, batches, weighIns, bags, foods] =
    await Promise.all([
      readDogs(),
      records('dog', { where: (dog) => dog.archived === true }),
      records('summary'),
      records('meal', { from: first, to: days.to }),
      records('weighing'),
      records('observation', around),
      records('batch'),
      records('weigh_in'),
      records('bag'),
      records('food'),
    ]);
  const [duties, movements, servings] = await Promise.all([
    records('duty'),
    records('movement', around),
    recordsOf('serving', new Set(meals.map(({ rid }) => rid))),
  ]);
  const inWeek = byRid(meals.filter(({ values }) => values.day >= days.from));
  const read: Read = {
    asked,
    days,
    all,
    kitchen: kitchenOf(asked.tables, foods),
    meals: inWeek,
    servings: servings.filter((serving) => inWeek.has(serving.values.meal)),
    weighings,
    observations,
    batches: byRid(batches),
    weighIns,
    bags: byRid(bags),
  };
  const written = summaries.filter((summary) => isBody(summary.values.body));
  return {
    week: asked.week,
    dogs: [...all.dogs, ...archived.filter((dog) => isTold(read, dog, written))].map((dog) =>
      dogWeek(read, dog, written),
    ),
    history: historyOf(written, asked.week),
    duties,
    work: workOf(
      { meals, servings, movements, batches, weighIns, bags, weighings, duties, observations },
      span,
      asked.zone,
    ),
    latestWritten:
      written
        .map((summary) => summary.values.week)
        .sort()
        .at(-1) ?? null,
  };
}

function bodyOf(summary: Rec<'summary'>): SummaryBody {
  return summary.values.body as SummaryBody;
}

function historyOf(
  written: readonly Rec<'summary'>[],
  week: string,
): Map<string, readonly SummaryBody[]> {
  const history = new Map<string, SummaryBody[]>();
  const upToNow = written
    .filter((summary) => summary.values.week <= week)
    .sort((a, b) => a.values.week.localeCompare(b.values.week));
  for (const summary of upToNow) {
    const own = history.get(summary.values.dog) ?? [];
    history.set(summary.values.dog, [...own, bodyOf(summary)]);
  }
  return history;
}

/** Whether the week has a summary of the dog, or anything that was written down about it. */
function isTold(read: Read, { rid }: Rec<'dog'>, written: readonly Rec<'summary'>[]): boolean {
  const { from, to } = read.days;
  const isInWeek = ({ values }: Rec<'weighing'> | Rec<'observation'>): boolean => {
    const day = dayOf(values.at, read.asked.zone);
    return values.dog === rid && day >= from && day <= to;
  };
  return (
    written.some(({ values }) => values.dog === rid && values.week === read.asked.week) ||
    read.servings.some(({ values }) => values.dog === rid) ||
    read.weighings.some(isInWeek) ||
    read.observations.some(isInWeek)
  );
}

function dogWeek(read: Read, dog: Rec<'dog'>, written: readonly Rec<'summary'>[]): DogWeek {
  const found = written.find(
    ({ values }) => values.dog === dog.rid && values.week === read.asked.week,
  );
  if (found) return { dog, body: bodyOf(found), isWritten: true };
  return { dog, body: ownBody(read, dog), isWritten: false };
}
