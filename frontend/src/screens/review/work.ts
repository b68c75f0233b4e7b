/** Who did what lately: counts of jobs by member, and nothing that adds them up. */
import type { Rec } from '../../db/store.svelte';
import { addDays, dayOf } from '../../ui/days';

/** How far back the table looks [days]: long enough that a busy week does not decide it. */
export const WORK_DAYS = 28;

export const JOBS = [
  ['fed', 'Meals served'],
  ['pulls', 'Pulls'],
  ['grinds', 'Grinds'],
  ['batches', 'Other batches'],
  ['bags', 'Bags put by'],
  ['weighings', 'Weighings'],
  ['duties', 'Other duties'],
  ['notes', 'Notes'],
] as const;

export type Job = (typeof JOBS)[number][0];
/** By member id. */
export type Work = Readonly<Record<string, Readonly<Partial<Record<Job, number>>>>>;

export interface WorkSpan {
  readonly from: string;
  readonly to: string;
}

/** The days counted for a week: those up to its end, or up to today. */
export function workSpan(week: { readonly to: string }, today: string): WorkSpan {
  const to = week.to < today ? week.to : today;
  return { from: addDays(to, 1 - WORK_DAYS), to };
}

export interface WorkRecords {
  readonly meals: readonly Rec<'meal'>[];
  readonly servings: readonly Rec<'serving'>[];
  readonly movements: readonly Rec<'movement'>[];
  readonly batches: readonly Rec<'batch'>[];
  readonly weighIns: readonly Rec<'weigh_in'>[];
  readonly bags: readonly Rec<'bag'>[];
  readonly weighings: readonly Rec<'weighing'>[];
  readonly duties: readonly Rec<'duty'>[];
  readonly observations: readonly Rec<'observation'>[];
}

/** Something that was done: what, by whom, on which day. */
interface Deed {
  readonly job: Job;
  readonly by: string | null;
  readonly day: string;
}

/** Whoever weighed most of a batch in; who planned it where nothing was weighed. */
function makerOf(batch: Rec<'batch'>, weighIns: readonly Rec<'weigh_in'>[]): string | null {
  const hands = new Map<string, number>();
  for (const { values, made_by } of weighIns) {
    if (values.batch === batch.rid && made_by !== null)
      hands.set(made_by, (hands.get(made_by) ?? 0) + 1);
  }
  const [most] = [...hands].sort(([, a], [, b]) => b - a);
  return most?.[0] ?? batch.made_by;
}

function cookingDeeds(read: WorkRecords, dayAt: (instant: string) => string): Deed[] {
  return read.batches.flatMap((batch) => {
    const { made_at, method } = batch.values;
    if (!made_at) return [];
    const job = method === 'ground' ? 'grinds' : 'batches';
    return [{ job, by: makerOf(batch, read.weighIns), day: dayAt(made_at) }];
  });
}

/** One for each pull and person, however many packs; and those that were a plain duty. */
function pullDeeds(read: WorkRecords, dayAt: (instant: string) => string): Deed[] {
  const deeds = new Map<string, Deed>();
  for (const { values, made_by } of read.movements) {
    if (values.pull)
      deeds.set(`${values.pull} ${made_by}`, { job: 'pulls', by: made_by, day: dayAt(values.at) });
  }
  return [...deeds.values()];
}

function dutyDeeds(read: WorkRecords, dayAt: (instant: string) => string): Deed[] {
  return read.duties.flatMap(({ values: { what, done } }) => {
    // A grind is counted by its batch, a feeding by its meal.
    if (done == null || what === 'grind' || what === 'feed') return [];
    return [{ job: what === 'pull' ? 'pulls' : 'duties', by: done.by, day: dayAt(done.at) }];
  });
}

/** Counts the jobs of the span, each for whoever did it. */
export function workOf(read: WorkRecords, { from, to }: WorkSpan, zone: string): Work {
  const dayAt = (instant: string): string => dayOf(instant, zone);
  const fed = new Set(read.servings.map(({ values }) => values.meal));
  const deeds: Deed[] = [
    ...read.meals
      .filter(({ rid }) => fed.has(rid))
      .map(({ values, made_by }): Deed => ({ job: 'fed', by: made_by, day: values.day })),
    ...pullDeeds(read, dayAt),
    ...cookingDeeds(read, dayAt),
    ...read.bags.map(({ values, made_by }): Deed => ({
      job: 'bags',
      by: made_by,
      day: dayAt(values.packed_at),
    })),
    ...read.weighings.map(({ values, made_by }): Deed => ({
      job: 'weighings',
      by: made_by,
      day: dayAt(values.at),
    })),
    ...dutyDeeds(read, dayAt),
    ...read.observations.map(({ values, made_by }): Deed => ({
      job: 'notes',
      by: made_by,
      day: dayAt(values.at),
    })),
  ];
  const work: Record<string, Partial<Record<Job, number>>> = {};
  for (const { job, by, day } of deeds) {
    if (by === null || day < from || day > to) continue;
    const own = (work[by] ??= {});
    own[job] = (own[job] ?? 0) + 1;
  }
  return work;
}
