/** A batch made again: its grams scaled, and what there is of each food for it now. */
import type { Rec } from '../../db/store.svelte';
import { proportioned } from '../../domain/meal-table';
import type { Batch } from '../../domain/kinds';
import { inStore_g, takings, type Shelves } from '../stores/larder';
import type { PlanLine } from './plan';

/** Packs of one lot that would be opened. */
export interface Packs {
  readonly lot: string;
  readonly packs: number;
  readonly pack_mass_g: number;
}

export interface AgainLine extends PlanLine {
  readonly packs: readonly Packs[];
  /** Grams that are not in store. */
  readonly lacking_g: number;
}

/** What went in, one line a food in whole grams; the plan where nothing was weighed. */
export function madeOf(
  batch: Pick<Batch, 'plan'>,
  weighed: readonly { readonly food: string; readonly mass_g: number }[],
): PlanLine[] {
  const masses = new Map<string, number>();
  for (const { food, mass_g } of weighed.length > 0 ? weighed : (batch.plan ?? [])) {
    masses.set(food, (masses.get(food) ?? 0) + mass_g);
  }
  return [...masses].map(([food, mass_g]) => ({ food, mass_g: Math.max(1, Math.round(mass_g)) }));
}

/**
 * The grams in proportion, their sum to the gram. A food of which there would be less than a gram
 * keeps one, from the largest: left out, nobody would miss the supplement.
 */
export function scaled(lines: readonly PlanLine[], total_g: number): PlanLine[] {
  if (total_g < lines.length) return [];
  const masses = proportioned(
    total_g,
    lines.map(({ mass_g }) => mass_g),
  );
  const largest = masses.indexOf(Math.max(...masses));
  masses.forEach((mass_g, index) => {
    if (mass_g > 0) return;
    masses[index] = 1;
    masses[largest] = (masses[largest] ?? 1) - 1;
  });
  return lines.map(({ food }, index) => ({ food, mass_g: masses[index] ?? 0 }));
}

/** Our choice: from here on a rounded mass is another dose. */
const TOO_MUCH = 1.5;

/** The foods of which a gram is much more than their part of so small a batch, and how many times. */
export function tooCoarse(
  made: readonly PlanLine[],
  lines: readonly PlanLine[],
): { readonly food: string; readonly mass_g: number; readonly times: number }[] {
  const grams = (all: readonly PlanLine[]): number =>
    all.reduce((sum, { mass_g }) => sum + mass_g, 0);
  const part = grams(lines) / grams(made);
  return lines.flatMap(({ food, mass_g }) => {
    const before_g = made.find((line) => line.food === food)?.mass_g ?? 0;
    const times = mass_g / (before_g * part);
    return times >= TOO_MUCH ? [{ food, mass_g, times }] : [];
  });
}

/**
 * How much is to go in, so that its energy is what these dogs need over the days [g]; null while
 * the energy of all of the batch, or what they need, is not known.
 */
export function massFor(
  lines: readonly PlanLine[],
  batch_kcal: number | null,
  needed_kcal: number | null,
): number | null {
  if (needed_kcal === null || batch_kcal === null || batch_kcal <= 0) return null;
  const whole_g = lines.reduce((sum, { mass_g }) => sum + mass_g, 0);
  return Math.round((whole_g * needed_kcal) / batch_kcal);
}

/** Each line with the packs that are in store for it today, the oldest first, and what is missing. */
export function lookedUp(larder: Shelves, lines: readonly PlanLine[]): AgainLine[] {
  const stored = inStore_g(larder);
  return lines.map(({ food, mass_g }) => {
    const there_g = Math.min(mass_g, Math.round(stored.get(food) ?? 0));
    const packs = takings(larder, food, there_g).flatMap(({ of, mass_g: part_g }): Packs[] => {
      const lot = larder.lots.find(({ rec }) => rec.rid === of);
      if (lot === undefined) return [];
      const { pack_mass_g } = lot.rec.values;
      return [{ lot: of, packs: Math.ceil(part_g / pack_mass_g), pack_mass_g }];
    });
    return { food, mass_g, packs, lacking_g: mass_g - there_g };
  });
}

/** How many packs of each mass, whatever lots they are of. */
export function bySize(packs: readonly Packs[]): [mass_g: number, count: number][] {
  const counts = new Map<number, number>();
  for (const each of packs) {
    counts.set(each.pack_mass_g, (counts.get(each.pack_mass_g) ?? 0) + each.packs);
  }
  return [...counts];
}

/** What a batch made again is to begin with. */
export function againValues(
  batch: Rec<'batch'>,
  made: { lines: readonly PlanLine[]; dogs: readonly string[]; days: number; plannedFor: string },
): Pick<
  Batch,
  'name' | 'method' | 'plate_mm' | 'planned_for' | 'days' | 'dogs' | 'plan' | 'stage'
> {
  const { name, method, plate_mm } = batch.values;
  return {
    name: name ?? null,
    method,
    plate_mm: plate_mm ?? null,
    planned_for: made.plannedFor,
    days: made.days,
    dogs: [...made.dogs],
    plan: made.lines.map(({ food, mass_g }) => ({ food, mass_g })),
    stage: 'planned',
  };
}
