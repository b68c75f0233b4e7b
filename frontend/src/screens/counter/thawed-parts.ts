/** What went into a batch thawed: the batch keeps no longer than the part that keeps least. */
import { dayOf } from '../../ui/days';
import { isInFreezer, type Larder, type Ledgered } from '../stores/larder';
import { packMass_g } from '../plan/pulls-physics';
import { movedOf, thingTitle, type PullSetting } from '../plan/pulls-rows';
import type { UseBy } from '../stores/keeping';
import { thawsLeft, type Thaw } from '../stores/stock-list';

/** A part, and the last moment the chart allows for it [epoch ms]. */
export interface PartEnd {
  readonly title: string;
  readonly at_latest: number;
}

/** The thawed packs that the batch took: as the ledger counts, the oldest of the thing first. */
function thawsTaken(thing: Ledgered<'lot'> | Ledgered<'bag'>, batch: string): Thaw[] {
  const isOfBatch = (what: string, of: string | null | undefined): boolean =>
    what === 'used' && of === batch;
  const entries = thing.movements.map(({ rid, values }) => ({ rid, ...values }));
  const own = entries.filter(({ what, batch: of }) => isOfBatch(what, of));
  const last = own.reduce((latest, { at }) => (at > latest ? at : latest), '');
  const before = entries.filter(({ what, batch: of, at }) => !isOfBatch(what, of) && at <= last);
  let left_g = own.reduce((sum, { mass_g }) => sum + mass_g, 0);
  return thawsLeft(before).filter(({ mass_g }) => {
    const isTaken = left_g > 0;
    left_g -= mass_g;
    return isTaken;
  });
}

/**
 * The part of a batch that keeps least since it thawed; null where nothing in it was thawed, or no
 * chart says of any of it.
 *
 * The last moment counts, not the careful one: the days run from the first moment at which a pack
 * can have thawed, and a batch made of it on the next day would always be past the careful one.
 */
export function earliestPart(
  batch: string,
  setting: PullSetting & { readonly larder: Larder },
): PartEnd | null {
  const things = [...setting.larder.lots, ...setting.larder.bags];
  const ends = things.flatMap((thing) =>
    thawsTaken(thing, batch).flatMap(({ since, way, mass_g }) => {
      const pack_mass_g = Math.min(packMass_g(thing), mass_g);
      const moved = movedOf(thing, { since, way, pack_mass_g }, setting);
      const at_latest = moved?.at_latest ?? null;
      return at_latest === null ? [] : [{ title: thingTitle(thing, setting), at_latest }];
    }),
  );
  return ends.reduce<PartEnd | null>(
    (first, end) => (first === null || end.at_latest < first.at_latest ? end : first),
    null,
  );
}

/** Whether anything that went into a batch had been frozen; of what nobody dated, its place tells. */
export function wasFrozen(batch: string, { lots }: Pick<Larder, 'lots'>): boolean {
  return lots.some(
    (lot) =>
      (lot.rec.values.frozen_on != null || isInFreezer(lot)) &&
      lot.movements.some(({ values }) => values.what === 'used' && values.batch === batch),
  );
}

/** The use-by day of the mixed batch, no later than its part's last one. */
export function cappedBy(by: UseBy | null, part: PartEnd | null, zone: string): UseBy | null {
  if (by === null || part === null) return by;
  const last = dayOf(part.at_latest, zone);
  const least = (day: string): string => (last < day ? last : day);
  return { ...by, day: least(by.day), atLatest: least(by.atLatest) };
}
