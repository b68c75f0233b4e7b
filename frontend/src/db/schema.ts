/**
 * The phone's database: one per household, and a small one for the device.
 *
 * Record types, stores and numbered versions stay together here. An upgrade only ever
 * adds stores or indexes; pending ops are never rewritten. Raise GENERATION with every
 * version: Dexie would open a newer database with older code without a word.
 */

import Dexie, { type Table } from 'dexie';
import type { Mark, Op, Row, SeenHeads } from '../domain/protocol.ts';

export const GENERATION = 1;

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
  /** 1 while the screen must show it on top of `base`. */
  overlay: 0 | 1;
  body: Op;
  hash: string;
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
  /** 1 where a person has to decide; absent elsewhere, so that the index stays small. */
  clash?: 1;
  /** Whether own ops lie on top that no pull has brought yet. */
  pending: boolean;
  day?: string;
  at?: string;
  /** What own heads that are not pulled yet had seen, by op and register. */
  closure?: Record<string, SeenHeads>;
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
  /** The last complete pull reached here: applied ops up to it are in `base`. */
  covered: number;
  /** Whether pages go into `fresh`, to replace `base` when complete. */
  filling: boolean;
  /** Why everything is pulled again: decides whether what is missing gets listed. */
  reason: 'restore' | 'role' | null;
  /** When a pull was last complete, epoch milliseconds; null: never. */
  completed_at: number | null;
}

export interface DeviceState {
  key: 'device';
  device_id: string;
  /** The number of the newest op. */
  n: number;
}

export interface GenerationState {
  key: 'generation';
  value: number;
}

export type Meta = SyncState | DeviceState | GenerationState;

export class HouseholdDatabase extends Dexie {
  declare base: Table<Row, string>;
  declare fresh: Table<Row, string>;
  declare records: Table<StoredRecord, string>;
  declare ops: Table<StoredOp, string>;
  declare lost: Table<LostRow, string>;
  declare meta: Table<Meta, string>;

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
  }
}

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
    super('trencher-device', { chromeTransactionDurability: 'strict' });
    this.version(1).stores({ cache: 'key' });
  }
}
