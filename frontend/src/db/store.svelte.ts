/** The store, as the screens see it: what they read, what they write, how it stands. */

export {
  app,
  reportError,
  type Keeping,
  type MarkState,
  type Pause,
  type Room,
} from './state.svelte.ts';
export { isShort } from './keeping.ts';
export { live, type Live } from './live.svelte.ts';
export {
  conflicts,
  record,
  records,
  recordsOf,
  together,
  type Rec,
  type Seen,
  type Which,
} from './read.ts';
export { fetchHistory, history, type RecordHistory } from './history.ts';
export { outlived, removeWhole, restoreAll, type Outlived } from './outlived.ts';
export { create, edit, remove, resolve, restore, transact } from './write.ts';
export {
  acknowledge,
  discard,
  discardAll,
  dismissLost,
  losses,
  putBack,
  refused,
  resend,
  submitHeld,
  waiting,
  waitsOn,
} from './tray.ts';
export { namesFor } from './names.ts';
export type { Detail, Entry } from './words.ts';
export type { LostRow } from './schema.ts';
export {
  exportOps,
  importOps,
  NotAnExport,
  previewImport,
  type Imported,
  type Preview,
} from './backup.ts';
export { InvalidValues, NotSaved, problems } from './errors.ts';
export { adopt, boot, openOther, refresh, refreshHousehold, signOut, syncNow } from './session.ts';
export { validate, type FieldErrors } from '../domain/validate.ts';
export { dutyId, mealId, packId, preferenceId, pullId, servingId } from '../domain/ids.ts';
