/** Ratios of what is in food, each with its range and limits. The twin of the server's ratios. */

import { stands, type Targets, type Word } from './adequacy.ts';
import { calciumToPhosphorus, type MaybeAmounts, type Ratio, type Totals } from './composition.ts';
import type { OtherRatioRow, Tables } from './tables.ts';

export const CALCIUM_TO_PHOSPHORUS = 'calcium_to_phosphorus';

/** A ratio by mass against its limits; the word is null where no limit is published. */
export interface RatioJudgement {
  readonly key: string;
  readonly known: number | null;
  readonly lowest: number | null;
  readonly highest: number | null;
  readonly minimum: number | null;
  readonly maximum: number | null;
  readonly word: Word | null;
  readonly source: string;
}

interface Limits {
  readonly minimum: number | null;
  readonly maximum: number | null;
  readonly source: string;
}

/** Every ratio of a batch or intake: calcium to phosphorus first, then those of the table. */
export function judgeRatios(
  tables: Pick<Tables, 'ratios'>,
  total: Totals,
  against: Targets,
): RatioJudgement[] {
  const others = (tables.ratios.others ?? []).map((row) => {
    const found = judged(row.key, ratioOf(total, row.top, row.bottom), { ...row, minimum: null });
    return row.maximum !== null && isAllTop(total, row)
      ? { ...found, word: 'over' as const }
      : found;
  });
  return [judgeRatio(total, against), ...others];
}

/** Whether there is surely none of what is divided by: past any limit, with no figure to show. */
function isAllTop(total: Totals, { top, bottom }: OtherRatioRow): boolean {
  return bound(total.best, bottom) === 0 && (knownSum(total.known, top) ?? 0) > 0;
}

/** Calcium to phosphorus against the limits of the stage. */
export function judgeRatio(total: Totals, against: Targets): RatioJudgement {
  return judged(CALCIUM_TO_PHOSPHORUS, calciumToPhosphorus(total), against.ratio);
}

/**
 * The judgement of a mass of which a part has no composition at all: short and met are withdrawn
 * where the rest could change them, as they are of an amount.
 */
export function ratioWithDoubt(judged: RatioJudgement, known_share: number): RatioJudgement {
  if (judged.word === null || stands(judged.word, known_share)) return judged;
  return { ...judged, lowest: null, highest: null, word: 'unknown' };
}

/** One sum of nutrients over another: the ends are least over most and most over least. */
export function ratioOf(total: Totals, top: readonly string[], bottom: readonly string[]): Ratio {
  const [leastTop, mostTop] = [knownSum(total.known, top), bound(total.best, top)];
  const [leastBottom, mostBottom] = [knownSum(total.known, bottom), bound(total.best, bottom)];
  return {
    known: divide(leastTop, leastBottom),
    lowest: divide(leastTop, mostBottom),
    highest: divide(mostTop, leastBottom),
  };
}

const isNumber = (value: number | null | undefined): value is number => typeof value === 'number';

const sum = (values: readonly number[]): number => values.reduce((all, each) => all + each, 0);

function knownSum(amounts: MaybeAmounts, keys: readonly string[]): number | null {
  const found = keys.map((key) => amounts[key]).filter(isNumber);
  return found.length > 0 ? sum(found) : null;
}

function bound(amounts: MaybeAmounts, keys: readonly string[]): number | null {
  const found = keys.map((key) => amounts[key]).filter(isNumber);
  return found.length === keys.length ? sum(found) : null;
}

function divide(top: number | null, bottom: number | null): number | null {
  return top === null || bottom === null || bottom === 0 ? null : top / bottom;
}

function judged(key: string, ratio: Ratio, { minimum, maximum, source }: Limits): RatioJudgement {
  return { key, ...ratio, minimum, maximum, word: ratioWord(ratio, minimum, maximum), source };
}

function ratioWord(
  { lowest, highest }: Ratio,
  minimum: number | null,
  maximum: number | null,
): Word | null {
  if (minimum === null && maximum === null) return null;
  if (maximum !== null && lowest !== null && lowest > maximum) return 'over';
  if (minimum !== null && highest !== null && highest < minimum) return 'short';
  const reaches = minimum === null || (lowest !== null && lowest >= minimum);
  const stays = maximum === null || (highest !== null && highest <= maximum);
  return reaches && stays ? 'met' : 'unknown';
}
