/** The words of whoever holds the phone. */
import { today, units, zone } from '../plan/here.svelte';
import type { Speech } from './value-words';

export function speech(): Speech {
  return { units: units(), today: today(), zone: zone() };
}
