/** An entry as plain text, for the clipboard. */
import type { Entry } from '../../db/store.svelte';
import type { Speech } from './value-words';
import { entryTitle, partsOf } from './waiting-words';

/** Title, every value on a line, and the server's reason if there is one. */
export function copyOf(entries: readonly Entry[], speech: Speech): string {
  return entries
    .map((entry) =>
      [
        entryTitle(entry, speech),
        ...partsOf(entry, speech).map(({ label, words }) => `${label}: ${words}`),
        ...reasonsOf(entry),
      ].join('\n'),
    )
    .join('\n\n');
}

/** Why the server did not take an entry, in sentences. */
export function reasonsOf({ refusal }: Pick<Entry, 'refusal'>): string[] {
  if (!refusal) return [];
  const sentences = Object.values(refusal.fields ?? {}).flat();
  return sentences.length > 0 ? sentences : [refusal.message];
}

/** Copies to the clipboard and says how it went. */
export async function copied(text: string): Promise<string> {
  try {
    await navigator.clipboard.writeText(text);
    return 'Copied.';
  } catch {
    return 'This phone did not allow copying. The words stand above; press and hold to copy them.';
  }
}
