/** What a batch is judged by, in the order and words of the page. */
import { rangeWords, wordOrder, type Reading, type Word } from '../../ui/beams';
import { capital, countWord } from '../../ui/words';

export interface CheckRow {
  readonly nutrient: string;
  readonly name: string;
  readonly word: Word;
  /** Per 1000 kcal, in `unit`. */
  readonly reading: Reading;
  readonly unit: string;
  readonly decimals: number;
  /** How many of the nutrient's own unit one of `unit` is: 1000 where mg are shown as g. */
  readonly scale: number;
  /** Where the wanted range comes from, one line each. */
  readonly sources: readonly string[];
  /** Why it is unknown, where the range crosses a limit: "may be over". */
  readonly doubt?: string | undefined;
  /** What the table prints, where the dog's own range differs from it. */
  readonly table?: Reading | undefined;
  /** Nutrients whose foods made it. */
  readonly makers?: readonly string[] | undefined;
  /** In which form it is counted. */
  readonly note?: string | undefined;
  /** What mends it, and where that puts it. */
  readonly mend?: { readonly words: string; readonly value: number } | undefined;
}

/** A figure that is shown and not judged, and why. */
export interface UnjudgedRow {
  readonly key: string;
  readonly name: string;
  readonly figure: string;
  readonly why: string;
  readonly sources: readonly string[];
  readonly makers: readonly string[];
}

/** A figure somebody asks about: what is behind it. */
export interface Asked {
  readonly name: string;
  readonly makers: readonly string[];
  /** In which form it is counted, or why it is not judged. */
  readonly note?: string | undefined;
  /** What is wanted of it, by the dog and by the table. */
  readonly wants: readonly string[];
  readonly sources: readonly string[];
}

/** A row as a question; `own` are the lines on how the dog differs from the table. */
export function asksOf(row: CheckRow, own: readonly string[]): Asked {
  const range = rangeWords(row.reading, row.decimals);
  const table = row.table ? rangeWords(row.table, row.decimals) : null;
  return {
    name: row.name,
    makers: row.makers ?? [],
    note: row.note,
    wants: [
      ...(range === null ? [] : [`Wanted: ${range} ${row.unit}.`]),
      ...(table === null ? [] : [`The table: ${table} ${row.unit}.`, ...own]),
    ],
    sources: row.sources,
  };
}

/** What passes an upper limit, or may pass it. */
export interface ExcessLine {
  readonly nutrient: string;
  readonly isSure: boolean;
  readonly words: string;
  readonly source: string;
}

const COUNT_WORDS: Readonly<Record<Word, string>> = {
  over: 'over',
  short: 'short',
  unknown: 'unknown',
  met: 'met',
};

/** Rows in the order of the page: over, short, unknown, met; each in the order they came. */
export function inOrder(rows: readonly CheckRow[]): CheckRow[] {
  return wordOrder.flatMap((word) => rows.filter((row) => row.word === word));
}

/** The share of what is wanted that is known to be there; 1 where nothing is asked. */
function reached({ reading }: CheckRow): number {
  const { known, minimum } = reading;
  return minimum === null || minimum === 0 ? 1 : (known ?? 0) / minimum;
}

/** The rows whose known part is furthest from what is wanted come first. */
export function furthestFirst(rows: readonly CheckRow[]): CheckRow[] {
  return [...rows].sort((a, b) => reached(a) - reached(b));
}

/** "One over, one short, two unknown, ten met". */
export function countSentence(rows: readonly { readonly word: Word }[]): string {
  if (rows.length === 0) return 'Nothing to check yet';
  const parts = wordOrder
    .map((word) => ({ word, count: rows.filter((row) => row.word === word).length }))
    .filter(({ count }) => count > 0)
    .map(({ word, count }) =>
      count === rows.length && word === 'met'
        ? `all ${countWord(count)} met`
        : `${countWord(count)} ${COUNT_WORDS[word]}`,
    );
  return capital(parts.join(', '));
}

/** The one or two things the counter's live line has room for: "Calcium over". */
export function mostPressing(rows: readonly CheckRow[], room = 2): CheckRow[] {
  return inOrder(rows)
    .filter((row) => row.word === 'over' || row.word === 'short')
    .slice(0, room);
}

/** What the live line says when there is nothing to mark. */
export function quietLine(rows: readonly CheckRow[]): string {
  const unknown = rows.filter((row) => row.word === 'unknown').length;
  if (rows.length === 0) return 'Nothing in the bowl yet';
  return unknown > 0
    ? `Nothing over or short, ${countWord(unknown)} unknown`
    : `All ${countWord(rows.length)} met`;
}
