/** A phone in a test: its own store, the shared model server, a person. */

import type { SyncServer } from '../api/sync.ts';
import { setCurrent, type Context } from '../db/context.ts';
import { uuid7 } from '../domain/ids.ts';
import { openHousehold } from '../db/open.ts';
import { freshMemory, type Memory } from '../db/sync/push-all.ts';
import { syncRound } from '../db/sync/round.ts';
import type { HouseholdDatabase, StoredOp, StoredRecord } from '../db/schema.ts';
import type { ModelServer } from './model-server.ts';

export const HOUSEHOLD = '018f0000-0000-7000-8000-00000000000a';
export const INES = '018f0000-0000-7000-8000-0000000000a1';
export const CALLUM = '018f0000-0000-7000-8000-0000000000a2';

export class Phone {
  memory: Memory = freshMemory();

  private constructor(
    readonly context: Context,
    readonly server: ModelServer,
  ) {}

  static async open(server: ModelServer, member: string = INES, name = uuid7()): Promise<Phone> {
    const db = await openHousehold(HOUSEHOLD, `trencher-${name}`);
    return new Phone({ db, household: HOUSEHOLD, member, role: server.roleOf(member) }, server);
  }

  get db(): HouseholdDatabase {
    return this.context.db;
  }

  /** Does something on this phone. */
  async do<T>(work: () => Promise<T>): Promise<T> {
    setCurrent(this.context);
    return work();
  }

  /** `link` is what lies between the phone and the server; nothing that fails, unless given. */
  async sync(link: SyncServer = this.server.as(this.context.member)): Promise<void> {
    await this.do(() => syncRound(this.context, link, this.memory));
  }

  /** Syncs where an error is expected; gives it back. */
  async failToSync(): Promise<unknown> {
    try {
      await this.sync();
    } catch (error) {
      return error;
    }
    return null;
  }

  /** Another person signs in on the same phone. */
  signIn(member: string): Phone {
    const role = this.server.roleOf(member);
    return new Phone({ ...this.context, member, role }, this.server);
  }

  /** The same store after the page was closed and opened. */
  async restart(): Promise<Phone> {
    const name = this.db.name.replace('trencher-', '');
    this.db.close();
    return Phone.open(this.server, this.context.member, name);
  }

  async ops(): Promise<StoredOp[]> {
    return (await this.db.ops.toArray()).sort((a, b) => a.n - b.n);
  }

  async states(): Promise<string[]> {
    return (await this.ops()).map((op) => op.state);
  }

  shown(rid: string): Promise<StoredRecord | undefined> {
    return this.db.records.get(rid);
  }

  async value(rid: string, register: string): Promise<unknown> {
    return (await this.shown(rid))?.values[register];
  }
}
