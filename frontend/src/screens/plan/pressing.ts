/** The one or two things that the counter's live line has room for. */
import { wordTitles, type Word } from '../../ui/beams';
import { listed } from '../../ui/words';
import { mostPressing } from './checks';
import type { Barred } from './eaters';
import type { Verdict } from './judged';
import type { Passed } from './own-limits';
import { passedLabel } from './proposal-words';

export interface Mark {
  readonly key: string;
  readonly word: Word;
  readonly label: string;
}

/**
 * What a dog may not have and what passes a limit of its own come before the figures of the tables;
 * what only may pass one comes after what is over or short.
 */
export function pressingMarks(
  { rows, passed }: Pick<Verdict, 'rows' | 'passed'>,
  barred: readonly Barred[],
  room = 2,
): Mark[] {
  const limit = (each: Passed): Mark => ({
    key: `limit ${each.key}`,
    word: each.isSure ? 'over' : 'unknown',
    label: passedLabel(each),
  });
  const who = [...new Set(barred.flatMap((each) => each.who))];
  const not = `Not for ${listed(who)}`;
  return [
    ...(who.length > 0 ? [{ key: 'barred', word: 'over' as const, label: not }] : []),
    ...passed.filter(({ isSure }) => isSure).map(limit),
    ...mostPressing(rows, room).map(({ nutrient, word, name }) => ({
      key: nutrient,
      word,
      label: `${name.replace(/ \(.*\)/, '')} ${wordTitles[word].toLowerCase()}`,
    })),
    ...passed.filter(({ isSure }) => !isSure).map(limit),
  ].slice(0, room);
}
