/** Travelling: days on which every meal offers dry food, and raw duties say that one is away. */
import { create, edit, record, restore, type Rec } from '../../db/store.svelte';
import type { Duty, Travel } from '../../domain/kinds';
import { isSupplement } from '../../domain/own-foods';
import { addDays, dayWords } from '../../ui/days';

/** What a duty with raw food says when it falls into days of travelling. */
export const RAW_WHILE_AWAY = 'You travel then, on dry food';

const RAW: readonly Duty['what'][] = ['pull', 'grind'];

function holds({ days }: Travel, day: string): boolean {
  return days.first <= day && day <= days.last;
}

/** An id tells by its own phone's clock when it was made, however wrong that is: it comes second. */
function isLater(one: Rec<'travel'>, other: Rec<'travel'>): boolean {
  const apart_ms = (one.made_at ?? 0) - (other.made_at ?? 0);
  return apart_ms === 0 ? one.rid > other.rid : apart_ms > 0;
}

/** The period a day lies in; of several the one entered last, on every phone the same. */
export function travelOn(travels: readonly Rec<'travel'>[], day: string): Rec<'travel'> | null {
  return travels.reduce<Rec<'travel'> | null>(
    (latest, each) =>
      holds(each.values, day) && (latest === null || isLater(each, latest)) ? each : latest,
    null,
  );
}

/** Periods that are not over, the next one first. */
export function comingTravels(travels: readonly Rec<'travel'>[], today: string): Rec<'travel'>[] {
  return travels
    .filter(({ values }) => values.days.last >= today)
    .sort((a, b) => a.values.days.first.localeCompare(b.values.days.first));
}

/** Whether a duty is about raw food and falls into days of travelling. */
export function isRawWhileAway(
  what: Duty['what'],
  day: string | null,
  travels: readonly Rec<'travel'>[],
): boolean {
  return RAW.includes(what) && day !== null && travelOn(travels, day) !== null;
}

/** Dry foods of the household that are in use. */
export function dryFoods(foods: readonly Rec<'food'>[]): Rec<'food'>[] {
  return foods
    .filter(
      ({ values }) => values.style === 'dry' && values.archived !== true && !isSupplement(values),
    )
    .sort((a, b) => a.values.name.localeCompare(b.values.name));
}

export interface TravelForm {
  readonly first: string;
  readonly last: string;
  readonly food: string;
}

export function newTravel(today: string, foods: readonly Rec<'food'>[]): TravelForm {
  return { first: today, last: addDays(today, 2), food: foods[0]?.rid ?? '' };
}

export function travelForm({ days, food }: Travel): TravelForm {
  return { first: days.first, last: days.last, food };
}

/** "today to Wed", "tomorrow". */
export function spanWords(
  { first, last }: Pick<TravelForm, 'first' | 'last'>,
  today: string,
): string {
  const from = dayWords(first, today);
  return first === last ? from : `${from} to ${dayWords(last, today)}`;
}

/** What is still missing, as the words of the button; undefined when it can be saved. */
export function missingOfTravel({ first, last, food }: TravelForm): string | undefined {
  if (first === '' || last === '') return 'Both days first';
  if (last < first) return 'A last day that is not before the first';
  if (food === '') return 'A dry food first';
  return undefined;
}

/** Writes a new period down, or changes the one the form was opened with. */
export async function saveTravel(
  { first, last, food }: TravelForm,
  opened: Rec<'travel'> | null,
): Promise<void> {
  const values = { days: { first, last }, food };
  if (opened) await edit(opened, values);
  else await create('travel', values);
}

/** Brings a removed period back, as it stands by now. */
export async function putTravelBack({ rid }: Pick<Rec<'travel'>, 'rid'>): Promise<void> {
  const current = await record('travel', rid);
  if (current) await restore(current);
}
