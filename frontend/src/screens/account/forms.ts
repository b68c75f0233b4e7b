/** What went wrong at the door, in words, and beside the field it belongs to. */
import { ApiError, NoAnswer, useCsrfToken } from '../../api/client';
import { getSession } from '../../api/accounts';

export interface Trouble {
  readonly title: string;
  readonly next: string | undefined;
  readonly fields: Readonly<Record<string, string>>;
}

/** Fields by name, the first sentence of each. */
function firstSentences(fields: Readonly<Record<string, string[]>>): Record<string, string> {
  return Object.fromEntries(
    Object.entries(fields).map(([name, sentences]) => [name, sentences[0] ?? '']),
  );
}

/** A refusal or a silence as a person reads it. */
export function troubleOf(error: unknown): Trouble {
  if (error instanceof NoAnswer) {
    return {
      title: 'No connection to the server',
      next: 'go where there is a signal, then press again. What you typed is still here.',
      fields: {},
    };
  }
  if (error instanceof ApiError) {
    const fields = firstSentences(error.fields);
    const wait = error.retryAfter_s;
    return {
      title: error.message,
      next: wait === null ? undefined : `try again in ${waitWords(wait)}.`,
      fields,
    };
  }
  const title =
    error instanceof Error && error.message !== '' ? error.message : 'Something went wrong.';
  return { title, next: 'try again. What you typed is still here.', fields: {} };
}

export function waitWords(seconds: number): string {
  if (seconds < 90) return `${Math.max(1, Math.ceil(seconds))} seconds`;
  return `${Math.ceil(seconds / 60)} minutes`;
}

/** A security token is needed before anything is sent; a page opened without a network has none yet. */
export async function freshToken(): Promise<void> {
  const session = await getSession();
  useCsrfToken(session.csrf_token);
}

/** The zone the phone is in. */
export function phoneZone(): string {
  return Intl.DateTimeFormat().resolvedOptions().timeZone || 'UTC';
}

/** An e-mail address can be wrong in ways only its server knows; this stops slips of the thumb. */
export function emailError(email: string): string | null {
  const text = email.trim();
  if (text === '') return 'The address is empty. Write your e-mail address.';
  return /^\S+@\S+\.\S+$/.test(text)
    ? null
    : `“${text}” is no e-mail address. It has an @ and a dot after it.`;
}

/** The server asks for ten characters; saying so before sending saves a round. */
export const leastPassword = 10;

export function passwordError(password: string): string | null {
  if (password.length >= leastPassword) return null;
  return password === ''
    ? 'The password is empty. Choose one of ten characters or more.'
    : `The password has ${password.length} characters. Use ten or more; three odd words do well.`;
}
