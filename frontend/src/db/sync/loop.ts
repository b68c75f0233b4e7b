/** Keeps syncing: after a write, on start, when the network or the screen is back, by the clock. */

import { ApiError, NoAnswer } from '../../api/client.ts';
import { syncServer, type SyncServer } from '../../api/sync.ts';
import { clockOffset, type Context } from '../context.ts';
import { app, reportError, type Pause } from '../state.svelte.ts';
import { backoff_ms } from './backoff.ts';
import { SyncLock } from './lock.ts';
import { freshMemory } from './push-all.ts';
import { syncRound } from './round.ts';

/** How often to look for what others wrote, while the app is on screen. */
const IDLE_MS = 30_000;
/** While a person has something to do first, such as signing in. */
const PAUSED_MS = 60_000;
const AFTER_WRITE_MS = 50;
const OTHER_TAB_MS = 3_000;
/** However many triggers come, no two tries are closer than this after a failure. */
const LEAST_GAP_MS = 1_000;

/** The household was closed in the middle of a round: it ends there. */
class Stopped extends Error {}

export interface LoopOptions {
  server?: SyncServer;
  /** Fetches the session again; true if it is still the same member's. */
  refreshSession?: () => Promise<boolean>;
  afterRound?: () => void;
}

function pauseFor(error: unknown): Pause | null {
  if (!(error instanceof ApiError)) return null;
  if (error.code === 'not_authenticated') return 'not_authenticated';
  if (error.code === 'not_member' || error.status === 404) return 'not_member';
  if (error.status === 426) return 'schema_too_new';
  return null;
}

/** Signing in, here or in another tab, makes the security tokens given before worthless. */
function isStaleToken(error: unknown): boolean {
  return error instanceof ApiError && error.code === 'csrf_failed';
}

export class SyncLoop {
  #memory = freshMemory();
  #lock: SyncLock;
  #channel: BroadcastChannel | null = null;
  #timer: ReturnType<typeof setTimeout> | undefined;
  #running: Promise<boolean> | null = null;
  #again = false;
  #stopped = false;
  #failures = 0;
  #notBefore = 0;
  readonly #server: SyncServer;
  readonly #stop: (() => void)[] = [];

  constructor(
    private readonly context: Context,
    private readonly options: LoopOptions = {},
  ) {
    this.#server = options.server ?? syncServer;
    const name = `sync:${context.household}`;
    this.#lock = new SyncLock(name);
    if (typeof BroadcastChannel !== 'undefined') {
      this.#channel = new BroadcastChannel(name);
      this.#channel.onmessage = () => {
        this.#lock.heardOther();
      };
    }
  }

  /** Begins to listen and syncs at once; a second call only wakes it. */
  start(): void {
    if (this.#stop.length > 0) {
      this.kick(0);
      return;
    }
    this.#listen(window, 'online', () => {
      this.#failures = 0;
      this.kick(0);
    });
    this.#listen(window, 'offline', () => {
      app.online = false;
    });
    this.#listen(document, 'visibilitychange', () => {
      if (document.visibilityState === 'visible') this.kick(0);
    });
    this.kick(0);
  }

  stop(): void {
    this.#stopped = true;
    app.syncing = false;
    clearTimeout(this.#timer);
    this.#channel?.close();
    for (const stop of this.#stop) stop();
  }

  /** Something was written: soon, so that entries made together travel together. */
  kick(delay_ms: number = AFTER_WRITE_MS): void {
    if (this.#running) this.#again = true;
    else this.#schedule(Math.max(delay_ms, this.#notBefore - Date.now()));
  }

  /** One round now, or the one that is running; never throws. False: left to another tab. */
  async syncNow(): Promise<boolean> {
    this.#notBefore = 0;
    return this.#running ?? this.#run();
  }

  #listen(target: EventTarget, type: string, listener: () => void): void {
    target.addEventListener(type, listener);
    this.#stop.push(() => {
      target.removeEventListener(type, listener);
    });
  }

  #schedule(delay_ms: number): void {
    if (this.#stopped) return;
    clearTimeout(this.#timer);
    this.#timer = setTimeout(() => void this.#run(), delay_ms);
  }

  async #run(): Promise<boolean> {
    if (this.#stopped) return true;
    if (this.#running) return this.#running;
    clearTimeout(this.#timer);
    this.#running = this.#attempt();
    return this.#running;
  }

  async #attempt(): Promise<boolean> {
    this.#again = false;
    app.syncing = true;
    let next_ms = IDLE_MS;
    let ran = true;
    try {
      ran = await this.#lock.run(() => this.#round());
      if (!ran) next_ms = OTHER_TAB_MS;
    } catch (error) {
      if (!this.#stopped) next_ms = this.#afterFailure(error);
    } finally {
      this.#running = null;
      if (!this.#stopped) app.syncing = false;
    }
    if (this.#stopped) return ran;
    const isHidden = typeof document !== 'undefined' && document.visibilityState === 'hidden';
    if (this.#again) this.kick();
    else if (!isHidden || app.waiting > 0 || this.#failures > 0) this.#schedule(next_ms);
    return ran;
  }

  async #round(): Promise<void> {
    const isAlive = (): void => {
      if (this.#stopped) throw new Stopped();
      this.#channel?.postMessage('alive');
    };
    let outcome;
    try {
      outcome = await syncRound(this.context, this.#server, this.#memory, isAlive);
    } catch (error) {
      if (!isStaleToken(error) || !(await this.options.refreshSession?.())) throw error;
      outcome = await syncRound(this.context, this.#server, this.#memory, isAlive);
    }
    if (this.#stopped) return;
    if (outcome.fault) throw outcome.fault;
    this.#failures = 0;
    app.online = true;
    app.caughtUp = true;
    app.pause = null;
    app.clockOffset_ms = clockOffset();
    this.options.afterRound?.();
  }

  /** Says how it stands and returns how long to wait. */
  #afterFailure(error: unknown): number {
    this.#failures += 1;
    this.#notBefore = Date.now() + LEAST_GAP_MS;
    app.caughtUp = false;
    const isAnswer = error instanceof ApiError;
    if (!isAnswer && !(error instanceof NoAnswer)) reportError(error);
    app.online = isAnswer && error.status < 500;
    const pause = pauseFor(error);
    if (pause) {
      app.pause = pause;
      return PAUSED_MS;
    }
    const asked_s = isAnswer || error instanceof NoAnswer ? error.retryAfter_s : null;
    if (asked_s === null) return backoff_ms(this.#failures);
    this.#notBefore = Date.now() + asked_s * 1000;
    return Math.max(asked_s * 1000, LEAST_GAP_MS);
  }
}
