/**
 * The phone's database: one per household, and a small one for the device.
 *
 * Record types, stores and numbered versions stay together here. An upgrade never rewrites
 * what an op says. Raise GENERATION with every version: Dexie would open a newer database
 * with older code without a word. Every index is paid for with each write, so there is one
 * only where a screen or the sync would otherwise read a whole store.
 */

import Dexie, { type Table } from 'dexie';
import type { Mark, Op, Row, SeenHeads } from '../domain/protocol.ts';
import { toVersion2, toVersion3 } from './upgrade.ts';

export const GENERATION = 3;

/** sent: it went out and no answer came, so the server may have it. wait: the server lacks its record or owner. */
export type OpState = 'pending' | 'sent' | 'applied' | 'rejected' | 'discarded' | 'wait';

export interface Refusal {
  code: string;
  message: string;
  fields: Record<string, string[]> | null;
}

/** An op of this phone, kept for good with what became of it. */
export interface StoredOp {
  op_id: string;
  n: number;
  rid: string;
  entity: string;
  author: string;
  state: OpState;
  body: Op;
  /** Its place in the queue, while the server has not answered. */
  due?: number;
  /** Refused or discarded here: the server is asked whether it has it all the same. */
  closed?: 'rejected' | 'discarded';
  seq?: number;
  refusal?: Refusal;
  /** Failed alone at the server: sent after all others. */
  poison?: boolean;
  /** 1: discarded here, then found in force at the server. */
  surprise?: 1;
  /** The op that a person sent in place of this refused one. */
  replaced_by?: string;
  /** The record or owner the server lacks. */
  waits_for?: string;
  /** The member who agreed to send what another member of this phone had written. */
  submitted_by?: string;
}

/** A row as shown: the server's, with own ops on top, and what the indexes need. */
export interface StoredRecord extends Row {
  live: 0 | 1;
  /** The day or instant that lists and ranges go by; empty where a record has none. */
  when: string;
  /** 1 where a person has to decide; absent elsewhere, so that the index stays small. */
  clash?: 1;
  /** Whether own ops lie on top that no pull has brought yet. */
  pending: boolean;
  /** Those own ops, in the order they were made. Absent where there are none, as in the index. */
  over?: string[];
  /** Whether the server's row differs from what is shown, and so is kept in `base`. */
  based?: true;
  /** What own heads that are not pulled yet had seen, by op and register. */
  closure?: Record<string, SeenHeads>;
  /** What all that belongs to it came to, so that it need not be read; see carried.ts. */
  carried?: unknown;
}

/** What the phone showed before a restore of the server and does not find again. */
export interface LostRow {
  rid: string;
  entity: string;
  row: Row;
  /** The registers whose values are missing; null: the whole record. */
  registers: string[] | null;
}

export interface SyncState {
  key: 'sync';
  mark: Mark | null;
  cursor: number;
  /** The last complete pull reached here: applied ops up to it are in the rows. */
  covered: number;
  /** Whether pages go into the hidden set of rows, to be shown instead when it is complete. */
  filling: boolean;
  /** Why everything is pulled again: decides what is listed as lost. null: the first time. */
  reason: 'restore' | 'role' | null;
  /** When a pull was last complete, epoch milliseconds; null: never. */
  completed_at: number | null;
}

export interface DeviceState {
  key: 'device';
  device_id: string;
  /** The number of the newest op. */
  n: number;
  /** The members whose entries this phone has taken in, to know whether any must be held. */
  authors: string[];
}

export interface GenerationState {
  key: 'generation';
  value: number;
}

export type Meta = SyncState | DeviceState | GenerationState;

export type SetName = 'rows_a' | 'rows_b';

/** Which set of rows is shown. In a store of its own, so that every tab hears of a change. */
export interface Pointer {
  key: 'shown';
  set: SetName;
}

const SETS = 'rid, [entity+when], [owner+live+entity], *over, clash';

/**
 * Every row is stored once, in the set that is shown. Only where something else than the
 * server's row is shown (own ops on top, a live child that the server has not heard of) that row
 * is kept beside it in `base`. A pull from nothing fills the other set, and a
 * change of the pointer shows it whole, without copying.
 */
export class HouseholdDatabase extends Dexie {
  declare rows_a: Table<StoredRecord, string>;
  declare rows_b: Table<StoredRecord, string>;
  declare base: Table<Row, string>;
  declare ops: Table<StoredOp, string>;
  declare lost: Table<LostRow, string>;
  declare meta: Table<Meta, string>;
  declare pointer: Table<Pointer, string>;
  /** As last read. A transaction that writes reads it again; see look(). */
  shown: SetName = 'rows_a';

  constructor(household: string, name: string = householdDatabaseName(household)) {
    super(name, { chromeTransactionDurability: 'strict' });
    this.version(1).stores({
      base: 'rid',
      fresh: 'rid',
      records: 'rid, [entity+live], [entity+owner], [entity+day], [entity+at], [owner+live], clash',
      ops: 'op_id, state, [author+state], surprise, [overlay+rid]',
      lost: 'rid',
      meta: 'key',
    });
    this.version(2)
      .stores({
        fresh: null,
        records: null,
        rows_a: SETS,
        rows_b: SETS,
        ops: 'op_id, due, closed, surprise',
        pointer: 'key',
      })
      .upgrade(toVersion2);
    // The same stores, but a build that does not know of `carried` would leave it standing.
    this.version(3).stores({}).upgrade(toVersion3);
  }

  /** What the screens show. */
  get records(): Table<StoredRecord, string> {
    return this[this.shown];
  }

  get hidden(): Table<StoredRecord, string> {
    return this[this.shown === 'rows_a' ? 'rows_b' : 'rows_a'];
  }

  /**
   * Finds out which set is shown: another tab may have changed it. Inside a transaction with
   * `pointer` in its scope the answer holds until that transaction ends.
   */
  async look(): Promise<void> {
    this.shown = (await this.pointer.get('shown'))?.set ?? 'rows_a';
  }
}

export const DEVICE_DATABASE = 'trencher-device';

export function householdDatabaseName(household: string): string {
  return `trencher-${household}`;
}

/** What a signed-in phone needs to open without the network. */
export interface CachedJson {
  key: string;
  etag: string | null;
  value: unknown;
}

export class DeviceDatabase extends Dexie {
  declare cache: Table<CachedJson, string>;

  constructor() {
    super(DEVICE_DATABASE, { chromeTransactionDurability: 'strict' });
    this.version(1).stores({ cache: 'key' });
  }
}
