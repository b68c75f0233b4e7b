/**
 * How long food keeps, from the published cold-storage tables.
 *
 * In the fridge the figure is about safety; in the freezer it is about quality alone. Whatever is
 * mixed keeps as long as its shortest-lived part.
 */
import { addDays } from '../../ui/days';
import type { Batch } from '../../domain/kinds';
import type { KeepingRow, SourceRow, Verified } from '../../domain/tables';

export type KeepingPlace = 'fridge' | 'freezer' | 'thawed';

export interface UseBy {
  /** The cautious day: the shortest time the chart gives. */
  readonly day: string;
  /** The last day the chart allows. */
  readonly atLatest: string;
  /** The keeping class that set the day. */
  readonly class: string;
  readonly source: string;
}

/** A table row printed as people would cite it: "Cold food storage chart, FoodSafety.gov, 2023". */
export function sourceWords(
  sources: Readonly<Record<string, SourceRow>>,
  key: string,
  locator?: string,
): string {
  const source = sources[key];
  if (source === undefined) return locator ? `${key}, ${locator}` : key;
  const parts = [source.title, source.publisher, source.year ? String(source.year) : '', locator];
  return parts.filter((part) => part !== undefined && part !== '').join(', ');
}

/** Of a figure entered from memory. */
export const NOT_COMPARED = 'not yet compared with the printed source';

const HOW: Readonly<Record<Verified, string>> = {
  read: '',
  computed: ' (worked out)',
  memory: ` (${NOT_COMPARED})`,
};

/** How sure a figure is, to stand behind its source; nothing where it was read there. */
export function howWords(verified: Verified): string {
  return HOW[verified];
}

/** The same where only doubt is to be told. */
export function doubtWords(verified: Verified | null | undefined): string {
  return verified === 'memory' ? HOW.memory : '';
}

/**
 * Until when food of these classes keeps; null when no class has a figure for the place (oil,
 * minerals: they set no date). The shortest-lived part decides.
 *
 * @param from the day it was put there, YYYY-MM-DD
 */
export function useBy(
  keeping: readonly KeepingRow[],
  classes: readonly string[],
  where: { readonly place: KeepingPlace; readonly from: string },
): UseBy | null {
  const rows = keeping.filter((row) => row.place === where.place && classes.includes(row.class));
  const first = rows.reduce<KeepingRow | null>(
    (least, row) => (least === null || row.days_min < least.days_min ? row : least),
    null,
  );
  if (first === null) return null;
  const latest = Math.min(...rows.map((row) => row.days_max));
  return {
    day: addDays(where.from, first.days_min),
    atLatest: addDays(where.from, latest),
    class: first.class,
    source: first.source,
  };
}

// A knife or a plate spreads what was on the surface through the whole, so that cut and ground
// meat keep as the chart says of stew meat and ground meat, whatever they were before.
const AS_GROUND = ['stew_meat', 'red_meat_pieces', 'poultry_pieces', 'poultry_whole'];

/** The chart's class of a food once it is prepared by a method. */
export function classAsMade(keepingClass: string, method: Batch['method']): string {
  if (method === 'cooked') return 'cooked';
  if (method === 'ground' && AS_GROUND.includes(keepingClass)) return 'ground_meat';
  if (method === 'chopped' && keepingClass === 'red_meat_pieces') return 'stew_meat';
  return keepingClass;
}

/**
 * The classes of all that is in a batch. What is cooked keeps as leftovers do, whatever has no class
 * of its own; so does dry food once it is wet, for which no chart has a row.
 */
export function classesAsMade(classes: readonly string[], method: Batch['method']): string[] {
  const own = method === 'cooked' || method === 'dry_mix' ? ['cooked'] : [];
  return [...own, ...classes.map((each) => classAsMade(each, method))];
}
