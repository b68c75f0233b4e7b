/** The private address at which a calendar program reads one's own duties. */

import { del, expectKeys, get, post } from './client.ts';
import type { components } from './schema.gen.ts';

export type CalendarAddress = components['schemas']['CalendarAddress'];
/** One just made: its address can be shown this once. */
export type CalendarAddressMade = components['schemas']['CalendarAddressMade'];

const calendar = (household: string): string => `/api/households/${household}/calendar`;

export async function getCalendarAddress(household: string): Promise<CalendarAddress> {
  return expectKeys<CalendarAddress>(await get(calendar(household)), 'made_at');
}

/** An earlier address ends. */
export async function makeCalendarAddress(household: string): Promise<CalendarAddressMade> {
  return expectKeys<CalendarAddressMade>(await post(calendar(household)), 'url', 'made_at');
}

export const endCalendarAddress = (household: string): Promise<unknown> => del(calendar(household));
