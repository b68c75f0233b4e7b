/** The store, as the screens see it: what they read, what they write, how it stands. */

export { app, reportError, type MarkState, type Pause } from './state.svelte.ts';
export { live, type Live } from './live.svelte.ts';
export { conflicts, record, records, type Rec, type Seen, type Which } from './read.ts';
export { outlived, removeWhole, restoreAll, type Outlived } from './outlived.ts';
export { create, edit, remove, resolve, restore, transact } from './write.ts';
export {
  acknowledge,
  discard,
  dismissLost,
  losses,
  putBack,
  refused,
  resend,
  submitHeld,
  waiting,
  waitsOn,
} from './tray.ts';
export type { Detail, Entry } from './words.ts';
export type { LostRow } from './schema.ts';
export { exportOps, importOps, NotAnExport, type Imported } from './backup.ts';
export { InvalidValues, NotSaved, problems } from './errors.ts';
export { adopt, boot, openOther, refresh, refreshHousehold, signOut, syncNow } from './session.ts';
export { validate, type FieldErrors } from '../domain/validate.ts';
export { mealId, preferenceId, servingId } from '../domain/ids.ts';
