/** Whether what thawed may go back into the freezer, by the published rules. */
import type { Bag } from '../../domain/kinds';
import { refreezing } from '../../domain/thaw';
import { phaseOf } from '../../domain/thaw-duty';
import { warmFridge } from '../household/fridge';
import { packMass_g, type Thing } from '../plan/pulls-physics';
import { movedOf, type PullSetting } from '../plan/pulls-rows';
import type { Stocked } from './larder';
import { lotUseBy, type Setting } from './store-rows';

/**
 * Why what lies thawed of a lot or bag may not be frozen again; null when it may. What was cooked
 * since is another batch, so this speaks of raw food.
 */
export function refreezeRefusal(thing: Thing, setting: PullSetting, now: number): string | null {
  const isTooWarm = warmFridge(setting.tables, setting.fridge_c);
  for (const { since, way, mass_g } of thing.stock.thaws) {
    const pack_mass_g = Math.min(packMass_g(thing), mass_g);
    const moved = movedOf(thing, { since, way, pack_mass_g }, setting);
    const isPast = moved !== null && way === 'fridge' && phaseOf(moved, now) === 'past';
    const refused = refreezing(way, !isPast && !isTooWarm);
    if (refused !== null) return refused;
  }
  return null;
}

/** Why bags that lie in the fridge may not go into the freezer any more; null when they may. */
export function freezeRefusal({ place, use_by }: Bag, today: string): string | null {
  const isPast = place === 'fridge' && use_by != null && use_by < today;
  return refreezing('fridge', !isPast);
}

/**
 * Why a lot that lies in the fridge may not go into the freezer any more; null when it may, or when
 * nobody knows how long it keeps.
 *
 * @param frozen_on the day on which it was or is to be frozen, YYYY-MM-DD
 */
export function lotFreezeRefusal(
  lot: Stocked<'lot'>,
  frozen_on: string,
  setting: Pick<Setting, 'classOf' | 'keeping'>,
): string | null {
  const until = lot.rec.values.place === 'fridge' ? lotUseBy(lot, setting) : null;
  return refreezing('fridge', until === null || frozen_on <= until.day);
}
