/** The look and smell of a food before it goes in: which pack is in hand, and until when it is good. */
import { create, record, remove } from '../../db/store.svelte';
import { shortDay } from '../../ui/days';
import type { PullSetting } from '../plan/pulls-rows';
import { thawDays, type Days } from '../stores/fridge-rows';
import { isInFreezer, takings, type Shelves, type Stocked } from '../stores/larder';
import { lotUseBy, type Setting } from '../stores/store-rows';

export type Sign = 'colour' | 'smell' | 'pack' | 'use_by';

/** What makes a food not good: the words of a tick, and of the note in the ledger. */
export const SIGNS: readonly { readonly key: Sign; readonly title: string; note: string }[] = [
  { key: 'colour', title: 'Odd colour, or slime', note: 'colour' },
  { key: 'smell', title: 'Sour or foul smell', note: 'smell' },
  { key: 'pack', title: 'Pack torn or leaking', note: 'pack' },
  { key: 'use_by', title: 'Past its day', note: 'use-by' },
];

/** The pack that goes in next: thawed before frozen, then the oldest. Null when none is in store. */
export function inHand(larder: Shelves, food: string): Stocked<'lot'> | null {
  const next = takings(larder, food, 1)[0]?.of;
  return larder.lots.find((lot) => lot.rec.rid === next) ?? null;
}

/** What lies open before one: all that is thawed of it, else one pack; never more than is there. */
export function inHand_g({ stock, rec }: Stocked<'lot'>): number {
  const open_g = stock.thawed_g > 0 ? stock.thawed_g : rec.values.pack_mass_g;
  return Math.round(Math.min(open_g, stock.total_g));
}

/** Until when the pack in hand is good, and whether that is over. */
export function daysOf(
  lot: Stocked<'lot'> | null,
  setting: PullSetting & Setting,
  now: number,
): Days {
  const { today } = setting;
  if (lot === null) return { words: 'Not in the stores: look at its pack', isPast: false };
  const thawed = thawDays(lot, setting, now);
  if (thawed !== null) return thawed;
  const until = lotUseBy(lot, setting);
  if (until === null) return { words: 'No date written down: look at its pack', isPast: false };
  const day = shortDay(until.day, today);
  // In the freezer the day is one of quality, not of safety (USDA FSIS, Freezing and Food Safety).
  if (isInFreezer(lot)) return { words: `In the freezer still, best by ${day}`, isPast: false };
  const isPast = until.day < today;
  return { words: isPast ? `Past its day, ${day}` : `Good until ${day}`, isPast };
}

export interface NotGood {
  readonly of: string;
  readonly mass_g: number;
  readonly batch: string;
  readonly signs: readonly Sign[];
  readonly at: string;
}

/** Enters in the ledger that it was thrown away, and why; returns the movement's id. */
export async function throwAway({ of, mass_g, batch, signs, at }: NotGood): Promise<string> {
  const why = SIGNS.filter(({ key }) => signs.includes(key)).map(({ note }) => note);
  const note = `Not good at the counter: ${why.join(', ')}`;
  return create('movement', { of, what: 'discarded', mass_g, at, batch, note });
}

/** Takes that entry back; a second time changes nothing. */
export async function takeBack(movement: string): Promise<void> {
  const rec = await record('movement', movement);
  if (rec !== undefined && !rec.gone) await remove(rec);
}
