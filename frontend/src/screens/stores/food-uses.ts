/** Where a food is used: lots, batches, and bowls it was in by itself. */
import type { Rec } from '../../db/store.svelte';
import type { Batch } from '../../domain/kinds';
import type { Shelves } from './larder';

export interface BatchUse {
  readonly rid: string;
  readonly values: Batch;
  readonly mass_g: number;
  readonly isPlanned: boolean;
}

export interface Uses {
  /** Lots with something left of it. */
  readonly lots: readonly string[];
  /** The newest few. */
  readonly batches: readonly BatchUse[];
  readonly fed: number;
  readonly fed_g: number;
}

const SHOWN_BATCHES = 5;

function sumOf(lines: readonly { food: string; mass_g: number }[], key: string): number {
  return lines.reduce((sum, line) => (line.food === key ? sum + line.mass_g : sum), 0);
}

export function usesOf(
  key: string,
  larder: Shelves,
  weighIns: readonly Rec<'weigh_in'>[],
  servings: readonly Rec<'serving'>[],
): Uses {
  const batches = [...larder.batches.values()].flatMap((batch): BatchUse[] => {
    const weighed = weighIns.filter(({ values }) => values.batch === batch.rid);
    const isPlanned = weighed.length === 0;
    const mass_g = isPlanned
      ? sumOf(batch.values.plan ?? [], key)
      : sumOf(
          weighed.map(({ values }) => values),
          key,
        );
    return mass_g > 0 ? [{ rid: batch.rid, values: batch.values, mass_g, isPlanned }] : [];
  });
  const fed = servings.filter(({ values }) => values.what.food === key);
  return {
    lots: larder.lots
      .filter((lot) => lot.rec.values.food === key && lot.stock.total_g > 0)
      .map((lot) => lot.rec.rid),
    batches: batches
      .sort((a, b) => (b.values.number ?? 0) - (a.values.number ?? 0))
      .slice(0, SHOWN_BATCHES),
    fed: fed.length,
    fed_g: fed.reduce((sum, { values }) => sum + values.offered_g, 0),
  };
}
