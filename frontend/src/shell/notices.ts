/** What every screen has to say about the phone itself, whatever it shows. */

import type { Pause } from '../db/store.svelte.ts';
import type { StoreTrouble } from '../db/open.ts';

export interface Notice {
  key: string;
  words: string;
  isUrgent: boolean;
  button?: string;
  href?: string;
  action?: 'reload' | 'update';
}

export interface Situation {
  trouble: StoreTrouble | null;
  pause: Pause | null;
  secure: boolean;
  updateReady: boolean;
  /** The first pull has not ended: what is on screen is not all there is. */
  isFetching: boolean;
  online: boolean;
  /** Server time less this phone's clock, milliseconds, as last measured. */
  clockOffset_ms: number;
  /** Room runs short: soon nothing more can be saved. */
  isShort: boolean;
}

const TROUBLE: Record<StoreTrouble, string> = {
  updated: 'The app was updated in another tab. Reload to go on here.',
  blocked: 'An update waits for another tab of this app. Close that tab.',
  newer: 'A newer version of the app has been used on this phone. Reload to get it.',
  lost: 'The browser has lost this app’s store. Close the app and open it again.',
};

const PAUSE: Record<Pause, Omit<Notice, 'key' | 'isUrgent'>> = {
  not_authenticated: {
    words: 'You are signed out. What you enter is kept on this phone and sent once you sign in.',
    button: 'Sign in',
    href: '/sign-in',
  },
  not_member: {
    words:
      'You do not belong to this household now. What you entered stays on this phone; ask an owner for an invitation.',
    button: 'What is waiting',
    href: '/waiting',
  },
  schema_too_new: {
    words: 'The server is older than this app. Entries stay on this phone until it is updated.',
  },
  held: {
    words: 'Entries of another person on this phone have not been sent.',
    button: 'Look',
    href: '/waiting',
  },
};

/** From here on the server flags what was written as of an uncertain time. */
const CLOCK_LIMIT_MS = 600_000;

function clockWords(offset_ms: number): string {
  const minutes = Math.round(Math.abs(offset_ms) / 60_000);
  const [count, unit] =
    minutes < 120
      ? [minutes, 'minutes']
      : minutes < 2880
        ? [Math.round(minutes / 60), 'hours']
        : [Math.round(minutes / 1440), 'days'];
  const side = offset_ms < 0 ? 'ahead of' : 'behind';
  return `This phone’s clock is ${String(count)} ${unit} ${side} the server’s, so the times you write down are off. Set it in the phone’s settings.`;
}

/** Urgent ones first: where going on could lose something. */
export function noticesFor(situation: Situation): Notice[] {
  const { trouble, pause, secure, updateReady, isFetching, online, clockOffset_ms, isShort } =
    situation;
  const notices: Notice[] = [];
  if (trouble) {
    const button = trouble === 'blocked' ? {} : { button: 'Reload', action: 'reload' as const };
    notices.push({ key: trouble, words: TROUBLE[trouble], isUrgent: true, ...button });
  }
  if (isShort) {
    const words =
      'Room on this phone runs short; when it is full, nothing more can be saved. Delete photos or apps you do not need.';
    notices.push({ key: 'room', words, isUrgent: true, button: 'Look', href: '/waiting' });
  }
  if (pause) notices.push({ key: pause, isUrgent: false, ...PAUSE[pause] });
  if (isFetching) {
    const words = online
      ? 'Fetching this household’s records. What you see is not complete yet.'
      : 'Not all of this household’s records are here yet. The rest comes once the server answers.';
    notices.push({ key: 'fetching', words, isUrgent: false });
  }
  if (Math.abs(clockOffset_ms) > CLOCK_LIMIT_MS) {
    notices.push({ key: 'clock', words: clockWords(clockOffset_ms), isUrgent: false });
  }
  if (updateReady) {
    const words = 'A new version is ready. Entries are kept.';
    notices.push({ key: 'update', words, isUrgent: false, button: 'Update', action: 'update' });
  }
  if (!secure) {
    const words =
      'Opened over plain http, so the browser lets the app work only while it is connected. Open it over https to use it offline.';
    notices.push({ key: 'insecure', words, isUrgent: false });
  }
  return notices;
}
