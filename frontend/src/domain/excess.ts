/** Too much: what passes the upper limit, or may pass it. The twin of the server's excess. */

import type { Targets } from './adequacy.ts';
import { per1000Kcal, type Totals } from './composition.ts';
import type { StandardValue, Tables } from './tables.ts';

/** Nutrients of which too much does harm that a bowl does not show. */
export const WATCHED = ['vitamin_a', 'vitamin_d', 'iodine', 'selenium', 'calcium'] as const;

export type ExcessWord = 'over' | 'may be over' | 'within' | 'unknown';

/** A nutrient against the upper limit of an edition, per 1000 kcal in the nutrient's unit. */
export interface Excess {
  readonly nutrient: string;
  readonly least: number | null;
  readonly most: number | null;
  readonly limit: number;
  readonly word: ExcessWord;
  /** The edition that prints the limit: the yardstick, or where it prints none another one. */
  readonly edition: string;
  readonly source: string;
  readonly locator: string;
  readonly verified: StandardValue['verified'];
}

/** Each watched nutrient that any edition limits, against its upper limit. */
export function excesses(
  tables: Pick<Tables, 'standards'>,
  total: Totals,
  against: Targets,
): Excess[] {
  return WATCHED.flatMap((nutrient) => {
    const found = limitOf(tables, nutrient, against);
    if (found === null) return [];
    const { edition, limit, row } = found;
    const least = per1000Kcal(total.known[nutrient] ?? null, total.energy_kcal);
    const most = per1000Kcal(total.best[nutrient] ?? null, total.energy_kcal);
    const { source, locator, verified } = row;
    const word = wordAgainst(least, most, limit);
    return [{ nutrient, least, most, limit, word, edition, source, locator, verified }];
  });
}

/** Over when even the least passes the limit, within when even the most does not. */
export function wordAgainst(least: number | null, most: number | null, limit: number): ExcessWord {
  if (least !== null && least > limit) return 'over';
  if (most === null) return 'unknown';
  return most <= limit ? 'within' : 'may be over';
}

interface Found {
  readonly edition: string;
  readonly limit: number;
  readonly row: StandardValue;
}

function limitOf(
  tables: Pick<Tables, 'standards'>,
  nutrient: string,
  against: Targets,
): Found | null {
  const own = against.limits[nutrient];
  if (own && own.maximum !== null) {
    return { edition: against.edition, limit: own.maximum, row: own };
  }
  const others = tables.standards.flatMap(({ key, stages }) => {
    const row = stages[against.stage]?.[nutrient];
    // A legal ceiling is set for feed as sold; it does not say where harm begins.
    if (!row || row.maximum_kind === 'legal maximum') return [];
    return row.maximum !== null ? [{ edition: key, limit: row.maximum, row }] : [];
  });
  const lowest = Math.min(...others.map(({ limit }) => limit));
  return others.find(({ limit }) => limit === lowest) ?? null;
}
