/** What a file holds and what taking it in does, in words. */
import type { Imported, Preview } from '../../db/store.svelte';
import { counted, listed } from '../../ui/words';

const entries = (count: number): string => counted(count, 'entry', 'entries');

/** Before taking a file in: what will happen, sentence by sentence. */
export function previewWords(
  { fresh, known, ofOthers, authors }: Preview,
  whom: (id: string) => string,
): string[] {
  if (fresh === 0) return [`Nothing new in it: all ${entries(known)} are here already.`];
  const own = fresh - ofOthers;
  const sentences = [`${entries(fresh)} in it ${fresh === 1 ? 'is' : 'are'} not on this phone.`];
  if (own > 0)
    sentences.push(
      `${ofOthers > 0 ? `${entries(own)} of yours` : 'They'} will be sent with the next connection; what the server has already counts once.`,
    );
  if (ofOthers > 0)
    sentences.push(
      `${entries(ofOthers)} ${ofOthers === 1 ? 'was' : 'were'} written by ${listed(authors.map(whom))}. ${ofOthers === 1 ? 'It waits' : 'They wait'} here and ${ofOthers === 1 ? 'is' : 'are'} not sent as yours.`,
    );
  if (known > 0)
    sentences.push(`${entries(known)} more ${known === 1 ? 'is' : 'are'} here already.`);
  return sentences;
}

export function importedWords({ added, known }: Imported): string {
  if (added === 0) return `Nothing new in it: all ${entries(known)} were here already.`;
  return `${entries(added)} taken in${known > 0 ? `, ${String(known)} were here already` : ''}.`;
}
