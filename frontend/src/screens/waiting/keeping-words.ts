/** What the browser promises about the store, and what to do about it. */
import type { Keeping, Room } from '../../db/store.svelte';

export interface KeepingWords {
  readonly title: string;
  readonly detail: string;
  readonly next: string | undefined;
}

export interface PhoneKind {
  readonly isApple: boolean;
  readonly isInstalled: boolean;
}

const STAY_IN_TOUCH = 'open the app while connected now and then, so that nothing waits for long.';

function installing({ isApple, isInstalled }: PhoneKind): string {
  if (isInstalled) return STAY_IN_TOUCH;
  return isApple
    ? 'tap Share, then Add to Home Screen.'
    : 'open the browser’s menu, then Install or Add to Home screen.';
}

/** Null before anything was saved: then there is nothing to lose and nothing was asked. */
export function keepingWords(keeping: Keeping | null, phone: PhoneKind): KeepingWords | null {
  switch (keeping) {
    case null:
      return null;
    case 'kept':
      return {
        title: 'The browser keeps this phone’s store',
        detail: 'It has promised not to clear it when room runs out.',
        next: undefined,
      };
    case 'may be cleared':
      return {
        title: 'The browser may clear this phone’s store',
        detail:
          phone.isApple && !phone.isInstalled
            ? 'Safari clears what a page keeps after a week without a visit. On the home screen it has its own count.'
            : 'It has not promised to keep it when room runs out. Putting the app on the home screen usually makes it promise.',
        next: installing(phone),
      };
    case 'unsaid':
      return {
        title: 'This browser does not say whether it keeps the store',
        detail: 'It may clear it when room runs out, or it may not.',
        next: installing(phone),
      };
  }
}

function megabytes(bytes: number): string {
  return `${String(Math.round(bytes / 1024 / 1024))} MB`;
}

/** "214 of 240 MB are taken". */
export function roomWords({ usage, quota }: Room): string {
  return `${megabytes(usage)} of the ${megabytes(quota)} this browser allows are taken.`;
}

export const SHORT_OF_ROOM = 'Room on this phone runs short, and then nothing more can be saved.';
export const MAKE_ROOM =
  'delete photos, films or apps you do not need. Until then stay connected, so that nothing waits only here.';
