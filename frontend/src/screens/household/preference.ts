/** What a household has chosen and measured: one record for all its members, offline too. */
import { app, create, edit, preferenceId, record, type Rec } from '../../db/store.svelte';
import type { Preference } from '../../domain/kinds';

/** The record as it is now: a form reads it when it opens. Undefined: nothing was chosen yet. */
export async function readPreference(): Promise<Rec<'preference'> | undefined> {
  const household = app.household?.id;
  return household === undefined ? undefined : record('preference', preferenceId(household));
}

/**
 * Writes some of it down; nothing while no household is open. `seen` is what was on the screen
 * where the values were chosen.
 */
export async function keepPreference(
  values: Partial<Preference>,
  seen: Rec<'preference'> | undefined,
): Promise<void> {
  const household = app.household?.id;
  if (household === undefined) return;
  if (seen && !seen.gone) await edit(seen, values);
  else await create('preference', values, preferenceId(household));
}
