/** What lies between a phone and the server: it loses and delays, on demand. */

import { NoAnswer } from '../../api/client.ts';
import type { PushBody, SyncServer } from '../../api/sync.ts';
import type { ChangesReply, Mark, PushReply } from '../../domain/protocol.ts';

export const FAULTS = ['none', 'request lost', 'reply lost', 'request late', 'reply late'] as const;
export type Fault = (typeof FAULTS)[number];

/** Requests that arrive, and replies that come back, long after they were given up. */
export type Mail = (() => Promise<void>)[];

/** The call with the number `at` (from 0) suffers `fault`; what follows is cut, unless it is only late. */
export class Link implements SyncServer {
  #calls = 0;

  constructor(
    private readonly server: SyncServer,
    private readonly mail: Mail,
    private readonly fault: Fault = 'none',
    private readonly at: number = 0,
  ) {}

  push(household: string, body: PushBody): Promise<PushReply> {
    const sent = structuredClone(body);
    return this.#carry(() => this.server.push(household, sent));
  }

  changes(household: string, cursor: number, mark: Mark | null): Promise<ChangesReply> {
    return this.#carry(() => this.server.changes(household, cursor, mark));
  }

  async #carry<T>(call: () => Promise<T>): Promise<T> {
    const fault = this.#calls >= this.at ? this.fault : 'none';
    this.#calls += 1;
    switch (fault) {
      case 'none':
        return call();
      case 'reply lost':
        await call();
        throw new NoAnswer();
      case 'request late':
        this.mail.push(async () => {
          await call().catch(() => undefined);
        });
        throw new NoAnswer();
      case 'reply late':
        return this.#delay(await call());
      case 'request lost':
        throw new NoAnswer();
    }
  }

  #delay<T>(reply: T): Promise<T> {
    return new Promise((resolve) => {
      this.mail.push(() => {
        resolve(reply);
        return Promise.resolve();
      });
    });
  }
}
