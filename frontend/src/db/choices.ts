/** Keeps what the household has chosen and measured in step with its one record of choices. */

import { liveQuery } from 'dexie';
import { preferenceId } from '../domain/ids.ts';
import { current, type Context } from './context.ts';
import { app, reportError } from './state.svelte.ts';

export type Choices = Pick<typeof app, 'standard' | 'fridge_c'>;

export async function readChoices({ db, household }: Context): Promise<Choices> {
  await db.look();
  const row = await db.records.get(preferenceId(household));
  const { standard, fridge_c } = row && !row.gone ? row.values : {};
  return {
    standard: typeof standard === 'string' ? standard : null,
    fridge_c: typeof fridge_c === 'number' ? fridge_c : null,
  };
}

/** Follows the store until the returned function is called. */
export function followChoices(): () => void {
  const subscription = liveQuery(() => readChoices(current())).subscribe({
    next: (found) => Object.assign(app, found),
    error: reportError,
  });
  return () => {
    subscription.unsubscribe();
  };
}
