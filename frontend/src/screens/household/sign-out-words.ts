/** What signing out, or leaving the household, leaves behind on this phone. */
import { counted } from '../../ui/words';

export interface Unsynced {
  readonly waiting: number;
  readonly refused: number;
  /** Of the waiting ones, those of another member of this phone. */
  readonly held: number;
}

export function signOutWords({ waiting, refused, held }: Unsynced): string[] {
  if (waiting + refused === 0)
    return ['Everything written here has been sent. Signing in again brings it back.'];
  const words = waiting > 0 ? [`${String(waiting)} waiting.`] : [];
  const own = waiting - held;
  if (own > 0)
    words.push(
      `${counted(own, 'entry', 'entries')} of yours ${own === 1 ? 'has' : 'have'} not been sent. ${own === 1 ? 'It stays' : 'They stay'} on this phone and ${own === 1 ? 'goes' : 'go'} out when you sign in here again; nobody else has ${own === 1 ? 'it' : 'them'} until then.`,
      'Somebody else who signs in on this phone sees that something of yours waits. It is never sent as theirs.',
    );
  if (held > 0)
    words.push(
      `${counted(held, 'entry', 'entries')} of somebody else ${held === 1 ? 'waits' : 'wait'} here too, and ${held === 1 ? 'stays' : 'stay'}.`,
    );
  if (refused > 0)
    words.push(
      `${counted(refused, 'entry', 'entries')} the server did not take ${refused === 1 ? 'stays' : 'stay'} here until somebody decides.`,
    );
  return [...words, 'Save a copy first if the phone may be lost or emptied.'];
}

/** What leaving the household means for what was written here. */
export function leavingWords({ waiting, refused }: Unsynced): string[] {
  const words = ['What the household has of yours stays with it, and this phone stops sending.'];
  const unsynced = waiting + refused;
  if (unsynced > 0)
    words.push(
      `${counted(unsynced, 'entry', 'entries')} on this phone ${unsynced === 1 ? 'has' : 'have'} not reached it, and ${unsynced === 1 ? 'is' : 'are'} not sent once you have left. Send or save ${unsynced === 1 ? 'it' : 'them'} first.`,
    );
  return words;
}
