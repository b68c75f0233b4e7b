/** A record that one took away and another went on with, as a question with two answers. */
import type { Outlived } from '../../db/store.svelte';
import { capital, counted } from '../../ui/words';
import { nounOf } from './clash-words';

export interface OutlivedWords {
  readonly title: string;
  readonly question: string;
  readonly keep: string;
  readonly takeAway: string;
}

function belonging(dependants: number): string {
  return dependants === 0
    ? ''
    : `${counted(dependants, 'entry', 'entries')} ${dependants === 1 ? 'belongs' : 'belong'} to it`;
}

/** `about` says whose and which: "Pascoe, Monday supper". */
export function outlivedWords(found: Outlived, about: string): OutlivedWords {
  const { rec, changed, dependants } = found;
  const noun = capital(nounOf(rec.entity));
  const below = belonging(dependants);
  const why = changed
    ? 'it was changed by somebody who did not know'
    : 'entries were added by somebody who did not know';
  return {
    title: `${noun} taken away, and still here`,
    question: `${about === '' ? noun : about}. One took it away, but ${why}, so it stays until you choose.`,
    keep: below === '' ? 'Still wanted' : `Still wanted: ${below}`,
    takeAway: below === '' ? 'Not wanted' : `Not wanted, nor what belongs to it (${dependants})`,
  };
}
