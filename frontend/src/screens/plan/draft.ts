/**
 * A plan that is being written, kept on this phone until it is accepted.
 *
 * It is nobody else's business yet, so it is no record; but it must survive a reload, a dead
 * battery and a dog at the door.
 */
import { edit, records, transact, type Rec } from '../../db/store.svelte';
import type { Batch } from '../../domain/kinds';
import type { Choice } from '../../domain/proposal-problem';
import { addDays, clockOf, dayOf, daysBetween, instantAt } from '../../ui/days';
import type { PlanLine } from './plan';

export type Method = Batch['method'];

export interface PlanDraft {
  readonly dogs: readonly string[];
  readonly days: number;
  readonly method: Method;
  readonly plate_mm: number;
  readonly plannedFor: string;
  readonly lines: readonly PlanLine[];
  readonly note: string;
  /** Set once the lines are proposed from stock: what somebody pinned, changed or left out. */
  readonly choices?: readonly Choice[] | undefined;
  /** The batch as it was when its draft was begun, which may be days ago. */
  readonly opened?: Rec<'batch'> | undefined;
}

export const METHODS: readonly { readonly value: Method; readonly label: string }[] = [
  { value: 'ground', label: 'Ground' },
  { value: 'chopped', label: 'Chopped' },
  { value: 'cooked', label: 'Cooked' },
  { value: 'bone_in', label: 'Whole, bone in' },
  { value: 'dry_mix', label: 'With dry food' },
];

/** Holes of ordinary grinder plates; common practice, no source. */
export const USUAL_PLATE_MM = 8;

const KEY = 'trencher-plan-';

/** Keeps a draft under the batch it is for, or under "new". */
export function keepDraft(name: string, draft: PlanDraft | null, storage = localStorage): void {
  if (draft === null) storage.removeItem(KEY + name);
  else storage.setItem(KEY + name, JSON.stringify(draft));
}

function isDraft(value: unknown): value is PlanDraft {
  if (typeof value !== 'object' || value === null) return false;
  const { dogs, lines, days } = value as Partial<PlanDraft>;
  return Array.isArray(dogs) && Array.isArray(lines) && typeof days === 'number';
}

/** The draft kept under a name, or null. */
export function keptDraft(name: string, storage = localStorage): PlanDraft | null {
  try {
    const value: unknown = JSON.parse(storage.getItem(KEY + name) ?? 'null');
    return isDraft(value) ? value : null;
  } catch {
    // Written by another version, or cut off: a plan that cannot be read is started again.
    return null;
  }
}

/** An empty plan for these dogs. */
export function emptyDraft(dogs: readonly string[], plannedFor: string): PlanDraft {
  return {
    dogs,
    days: 3,
    method: 'ground',
    plate_mm: USUAL_PLATE_MM,
    plannedFor,
    lines: [],
    note: '',
  };
}

/** The plan of a batch, as a draft to be changed. */
export function draftOf(batch: Batch): PlanDraft {
  return {
    dogs: batch.dogs ?? [],
    days: batch.days ?? 1,
    method: batch.method,
    plate_mm: batch.plate_mm ?? USUAL_PLATE_MM,
    plannedFor: batch.planned_for ?? '',
    lines: batch.plan ?? [],
    note: batch.note ?? '',
  };
}

/** What a draft writes into a batch. */
export function batchValues(
  draft: PlanDraft,
): Pick<Batch, 'method' | 'plate_mm' | 'planned_for' | 'days' | 'dogs' | 'plan' | 'note'> {
  return {
    method: draft.method,
    plate_mm: draft.method === 'ground' ? draft.plate_mm : null,
    planned_for: draft.plannedFor === '' ? null : draft.plannedFor,
    days: draft.days,
    dogs: [...draft.dogs],
    plan: draft.lines.map(({ food, mass_g }) => ({ food, mass_g })),
    note: draft.note.trim() === '' ? null : draft.note.trim(),
  };
}

/** An instant so many days later by the household's calendar, at the same hour. */
function daysLater(instant: string, days: number, zone: string): string {
  return instantAt(addDays(dayOf(instant, zone), days), clockOf(instant, zone), zone);
}

/** How many days its pulls are to come later: they stand where the batch stands by now. */
function daysPutOff(current: Batch, opened: Batch, wanted: Batch['planned_for']): number {
  const isChanged = opened.planned_for !== wanted;
  const stands = current.planned_for;
  return isChanged && stands && wanted ? daysBetween(stands, wanted) : 0;
}

/**
 * Writes a changed plan down. What somebody else changed since the draft was begun stands beside it
 * for a person to decide. When the batch is put off, so are the hours its packs are thawed for.
 */
export async function savePlan(
  current: Rec<'batch'>,
  draft: PlanDraft,
  zone: string,
): Promise<void> {
  const opened = draft.opened ?? current;
  const values = batchValues(draft);
  const days = daysPutOff(current.values, opened.values, values.planned_for);
  const pulls =
    days === 0 ? [] : await records('pull', { where: ({ batch }) => batch === current.rid });
  await transact(async () => {
    await edit(opened, values);
    for (const pull of pulls)
      await edit(pull, { needed_at: daysLater(pull.values.needed_at, days, zone) });
  });
}
