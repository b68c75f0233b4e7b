/**
 * A plan that is being written, kept on this phone until it is accepted.
 *
 * It is nobody else's business yet, so it is no record; but it must survive a reload, a dead
 * battery and a dog at the door.
 */
import type { Batch } from '../../domain/kinds';
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
}

export const METHODS: readonly { readonly value: Method; readonly label: string }[] = [
  { value: 'ground', label: 'Ground' },
  { value: 'chopped', label: 'Chopped' },
  { value: 'cooked', label: 'Cooked' },
  { value: 'bone_in', label: 'Whole, bone in' },
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
export function draftOf(batch: Batch, plannedFor: string): PlanDraft {
  return {
    dogs: batch.dogs ?? [],
    days: batch.days ?? 1,
    method: batch.method,
    plate_mm: batch.plate_mm ?? USUAL_PLATE_MM,
    plannedFor: batch.planned_for ?? plannedFor,
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
