/** What fills no bag of batches made lately, and until when it keeps. */
import { records, recordsOf } from '../../db/store.svelte';
import type { Served } from '../../domain/kinds';
import { addDays } from '../../ui/days';
import { keepsFrom } from '../counter/bagging';
import { cappedBy, earliestPart } from '../counter/thawed-parts';
import { keepingClasses } from '../plan/catalogue';
import type { PullSetting } from '../plan/pulls-rows';
import { readShelves, type Larder, type Shelves, type Stocked } from '../stores/larder';
import { batchUseBy } from '../stores/store-rows';
import { mealsBetween, REST_DAYS, restsOf, type BatchRest } from './table';

export interface KeptRest extends BatchRest {
  /** YYYY-MM-DD; null when no table says. */
  readonly use_by: string | null;
}

type Setting = Omit<PullSetting, 'larder'>;

/** What a batch took from since it was first weighed in, with all that was entered of it. */
async function takenFrom(batch: string, larder: Shelves, from: string): Promise<Larder> {
  const where = (movement: { batch?: string | null }): boolean => movement.batch === batch;
  const of = new Set((await records('movement', { from, where })).map(({ values }) => values.of));
  const moved = await recordsOf('movement', of);
  const ledgered = <E extends 'lot' | 'bag'>(thing: Stocked<E>) => {
    const movements = moved.filter(({ values }) => values.of === thing.rec.rid);
    return movements.length > 0 ? [{ ...thing, movements, counts: [] }] : [];
  };
  return { ...larder, lots: larder.lots.flatMap(ledgered), bags: larder.bags.flatMap(ledgered) };
}

/** As its bags in the fridge do, it keeps from the mixing, and no longer than what thawed for it. */
async function useByOf({ batch, made_on }: BatchRest, larder: Shelves, setting: Setting) {
  const { values, rid } = batch;
  const { tables, zone } = setting;
  const putIn = (await records('weigh_in', { owner: rid })).map((entry) => entry.values);
  const keeping = {
    classOf: keepingClasses(tables, larder.foods),
    keeping: tables?.keeping ?? [],
  };
  const from = keepsFrom(values, made_on, zone);
  const mixedBy = batchUseBy(values, keeping, { place: 'fridge', from, putIn });
  const first = putIn.map(({ at }) => at).sort()[0];
  if (values.method === 'cooked' || first === undefined) return mixedBy?.day ?? null;
  const taken = await takenFrom(rid, larder, first);
  const part = earliestPart(rid, { ...setting, larder: taken });
  return cappedBy(mixedBy, part, zone)?.day ?? null;
}

/** The rests of today, the newest batch first. Meant for `live`. */
export async function readRests(setting: Setting): Promise<KeptRest[]> {
  const { today } = setting;
  const [larder, meals] = await Promise.all([
    readShelves(),
    mealsBetween(addDays(today, -REST_DAYS), today),
  ]);
  return Promise.all(
    restsOf(larder, meals, setting).map(async (rest) => ({
      ...rest,
      use_by: await useByOf(rest, larder, setting),
    })),
  );
}

/** The use-by day of a rest that is past it on a day; null while it is good, or has none. */
export function restPastUseBy(
  rests: readonly KeptRest[],
  what: Served | null,
  day: string,
): string | null {
  const useBy = rests.find(({ batch }) => batch.rid === what?.batch)?.use_by ?? null;
  return useBy !== null && useBy < day ? useBy : null;
}
