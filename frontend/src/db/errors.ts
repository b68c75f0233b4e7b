/** What can go wrong on the phone itself, and how it is said. */

import type { FieldErrors } from '../domain/validate.ts';

/** The values break a rule: nothing was written. */
export class InvalidValues extends Error {
  override name = 'InvalidValues';
  constructor(readonly fields: FieldErrors) {
    super(Object.values(fields).flat().join(' '));
  }
}

export type NotSavedReason = 'full' | 'lost' | 'newer' | 'closed' | 'unknown';

const WORDS: Record<NotSavedReason, string> = {
  full: 'Not saved: this phone has no room left. Free some space, then save again.',
  lost: 'Not saved: the browser has lost its store. Open the app anew, then save again.',
  newer: 'Not saved: a newer version of the app was here. Reload, then save again.',
  closed: 'Not saved: the app was updated in another tab. Reload, then save again.',
  unknown: 'Not saved: the phone could not write. Try again.',
};

/** The entry did not reach the disk. The form must keep what was typed. */
export class NotSaved extends Error {
  override name = 'NotSaved';
  constructor(
    readonly reason: NotSavedReason,
    cause?: unknown,
  ) {
    super(WORDS[reason], { cause });
  }
}

/** What an error was made of; of many writes at once, what the first of them met. */
function inside(error: Error): unknown {
  if ('inner' in error && error.inner !== error) return error.inner;
  return 'failures' in error ? (error.failures as unknown[])[0] : error.cause;
}

function namesOf(error: unknown): string[] {
  const names: string[] = [];
  let link: unknown = error;
  for (let depth = 0; depth < 4 && link instanceof Error; depth += 1) {
    names.push(link.name);
    link = inside(link);
  }
  return names;
}

export function isQuota(error: unknown): boolean {
  return namesOf(error).includes('QuotaExceededError');
}

/** The connection died under us, as WebKit does after a while in the background. */
export function isLostConnection(error: unknown): boolean {
  const names = namesOf(error);
  if (names.includes('DatabaseClosedError') || names.includes('InvalidStateError')) return true;
  return error instanceof Error && /connection (to|is)|lost|closing/i.test(error.message);
}

export function asNotSaved(error: unknown): Error {
  if (error instanceof InvalidValues || error instanceof NotSaved) return error;
  if (isQuota(error)) return new NotSaved('full', error);
  if (isLostConnection(error)) return new NotSaved('lost', error);
  if (error instanceof Error && error.name === 'NotOpen') return error;
  return new NotSaved('unknown', error);
}

/** An error in words for people. */
export function problems(error: unknown): string {
  if (error instanceof Error && error.message) return error.message;
  return 'Something went wrong. Try again.';
}
