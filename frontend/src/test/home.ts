/** The household of the tests, as if its phone were signed in. */
import type { SessionHousehold } from '../api/accounts.ts';
import { app } from '../db/store.svelte';
import { HOUSEHOLD, INES } from './phone.ts';

export function signedIn(changes: Partial<SessionHousehold> = {}): void {
  // Already asked: a test has no browser whose promise could be had.
  app.keeping = 'unsaid';
  app.household = {
    id: HOUSEHOLD,
    name: 'Quay Brae',
    role: 'owner',
    member_id: INES,
    time_zone: 'Europe/London',
    units: 'metric',
    ...changes,
  };
}
