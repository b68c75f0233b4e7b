/** What the whole app knows at any moment, for every screen to read. */

import type { Household, Member, Session, SessionHousehold } from '../api/accounts.ts';
import type { Tables } from '../domain/tables.ts';
import type { StoreTrouble } from './open.ts';

export interface MarkState {
  state: 'saved' | 'waiting' | 'synced' | 'needs_you';
  /** Entries of this phone that the server does not have yet. */
  waiting: number;
  refused: number;
  conflicts: number;
  online: boolean;
}

/** Why the queue stands still until a person does something. */
export type Pause =
  | 'not_authenticated'
  | 'not_member'
  | 'schema_too_new'
  /** Entries of another member of this phone wait for a yes. */
  | 'held';

/** kept: promised. may be cleared: it refused. unsaid: this browser has no such promise to give. */
export type Keeping = 'kept' | 'may be cleared' | 'unsaid';

/** Bytes, as the browser reports them. */
export interface Room {
  usage: number;
  quota: number;
}

class AppState {
  /** Whether the phone has looked for a session. Before that nothing should be drawn. */
  ready = $state(false);
  session = $state.raw<Session | null>(null);
  household = $state.raw<SessionHousehold | null>(null);
  details = $state.raw<Household | null>(null);
  tables = $state.raw<Tables | null>(null);
  /** They are being fetched for the first time, or that failed: without them little works offline. */
  tablesDue = $state(false);

  waiting = $state(0);
  refused = $state(0);
  conflicts = $state(0);
  /** Values that the phone showed before the server was restored, and that are missing now. */
  lost = $state(0);
  /** Entries of other members of this phone, not sent in their name. */
  held = $state(0);
  /** Whether the server answered the last time it was asked. */
  online = $state(true);
  syncing = $state(false);
  pause = $state<Pause | null>(null);
  /** When a pull was last complete, epoch milliseconds. */
  syncedAt = $state<number | null>(null);
  /** Whether the last round of sync went through to its end; false before the first one. */
  caughtUp = $state(false);
  /** Everything is being fetched anew, after a restore of the server or a change of role. */
  filling = $state(false);
  clockOffset_ms = $state(0);
  /** The edition the household compares with, by its key; null until somebody chooses. */
  standard = $state<string | null>(null);
  /** How cold the household's fridge is; null: nobody has measured it. */
  fridge_c = $state<number | null>(null);

  /** Trouble with the phone's own store. */
  trouble = $state<StoreTrouble | null>(null);
  /** What the browser has promised about the store; null: not asked yet. */
  keeping = $state<Keeping | null>(null);
  /** How much of the room the browser allows is taken; null: it does not say. */
  room = $state.raw<Room | null>(null);
  /** False on plain http from another machine: no worker, so the app opens only while connected. */
  secure = $state(globalThis.isSecureContext !== false);
  /** A new build waits for a tap. */
  updateReady = $state(false);
  applyUpdate: () => void = () => undefined;

  readonly members = $derived<Member[]>(this.details?.members ?? []);
  readonly member = $derived<Member | null>(
    this.members.find((member) => member.id === this.household?.member_id) ?? null,
  );

  readonly mark = $derived.by<MarkState>(() => {
    const { waiting, refused, conflicts, online } = this;
    return { state: this.#markState(), waiting, refused, conflicts, online };
  });

  #markState(): MarkState['state'] {
    const needsPerson =
      this.refused + this.conflicts + this.lost + this.held > 0 ||
      this.trouble !== null ||
      (this.pause !== null && this.pause !== 'held');
    if (needsPerson) return 'needs_you';
    if (this.waiting > 0) return this.online && this.syncing ? 'saved' : 'waiting';
    const isAll = this.caughtUp && !this.filling && !this.tablesDue && this.syncedAt !== null;
    return this.online && isAll ? 'synced' : 'saved';
  }
}

export const app = new AppState();

/** The one funnel for failures that no screen is waiting for. */
export function reportError(error: unknown): void {
  console.error(error);
}
