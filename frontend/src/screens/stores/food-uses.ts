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
  /** The newest few of the days looked back on, and what is still planned. */
  readonly batches: readonly BatchUse[];
  readonly fed: number;
  readonly fed_g: number;
}

const SHOWN_BATCHES = 5;

function sumOf(lines: readonly { food: string; mass_g: number }[], key: string): number {
  return lines.reduce((sum, line) => (line.food === key ? sum + line.mass_g : sum), 0);
}

/** Entries of a food in a household. */
export interface Entered {
  readonly weighIns: readonly Rec<'weigh_in'>[];
  readonly servings: readonly Rec<'serving'>[];
  /** The first day looked back on, YYYY-MM-DD; the servings are of no earlier one. */
  readonly since: string;
}

export function usesOf(key: string, larder: Shelves, { weighIns, servings, since }: Entered): Uses {
  const batches = [...larder.batches.values()].flatMap((batch): BatchUse[] => {
    const weighed = weighIns.filter(({ values }) => values.batch === batch.rid);
    const isPlanned = weighed.length === 0;
    const days = [...weighed.map(({ values }) => values.at), batch.values.made_at ?? null];
    const dated = days.filter((at) => at !== null);
    if (dated.length > 0 && dated.every((at) => at < since)) return [];
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
