/**
 * How long food keeps, from the published cold-storage tables.
 *
 * In the fridge the figure is about safety; in the freezer it is about quality alone. Whatever is
 * mixed keeps as long as its shortest-lived part.
 */
import { addDays } from '../../ui/days';
import type { KeepingRow, SourceRow } from '../../domain/tables';

export type KeepingPlace = 'fridge' | 'freezer' | 'thawed';

export interface UseBy {
  readonly day: string;
  readonly days: number;
  /** The keeping class that set the date. */
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

/**
 * The day by which food of these classes should be used; null when no class has a figure for the
 * place (oil, minerals: they set no date).
 *
 * @param from the day it was put there, YYYY-MM-DD
 */
export function useBy(
  keeping: readonly KeepingRow[],
  classes: readonly string[],
  where: { readonly place: KeepingPlace; readonly from: string },
): UseBy | null {
  const rows = keeping.filter((row) => row.place === where.place && classes.includes(row.class));
  const shortest = rows.reduce<KeepingRow | null>(
    (least, row) => (least === null || row.days_max < least.days_max ? row : least),
    null,
  );
  if (shortest === null) return null;
  return {
    day: addDays(where.from, shortest.days_max),
    days: shortest.days_max,
    class: shortest.class,
    source: shortest.source,
  };
}

/** The classes that count for a batch: those of its foods, and what the method makes of them. */
export function batchClasses(
  method: 'ground' | 'chopped' | 'cooked' | 'bone_in',
  foodClasses: readonly string[],
): string[] {
  // A knife or a plate spreads what was on the surface through the whole mass.
  if (method === 'ground') return [...foodClasses, 'ground_meat'];
  if (method === 'chopped') return [...foodClasses, 'stew_meat'];
  return method === 'cooked' ? ['cooked'] : [...foodClasses];
}

/** The instant a thawed pack should be used by: counted from when it went into the fridge. */
export function thawedUntil(
  keeping: readonly KeepingRow[],
  keepingClass: string,
  since: string,
): { readonly at: string; readonly days: number; readonly source: string } | null {
  const found = useBy(keeping, [keepingClass], { place: 'thawed', from: since.slice(0, 10) });
  if (found === null) return null;
  const at = new Date(new Date(since).getTime() + found.days * 86_400_000).toISOString();
  return { at, days: found.days, source: found.source };
}
