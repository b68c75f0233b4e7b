/** The shapes that travel between a phone and the server. Times are epoch milliseconds, UTC. */

export type Value = unknown;

/** Register name → op ids that were on screen when the value was set. */
export type SeenHeads = Record<string, string[]>;

/** One immutable entry in a phone's log: values set in one record, by one person, at one moment. */
export interface Op {
  op_id: string;
  household: string;
  device_id: string;
  /** Dense per device from 1: shows losses, orders nothing. */
  n: number;
  author: string;
  schema: number;
  app: string;
  entity: string;
  rid: string;
  new: boolean;
  set: Record<string, Value>;
  seen: SeenHeads;
  occurred_at: number;
  tz: string;
  /** Server time less this phone's clock when last measured, in milliseconds. */
  offset_ms: number;
}

/** [op id, the moment it counts for, author]. */
export type HeadEntry = [op: string, at: number, by: string];

export interface Alternative {
  op: string;
  value: Value;
  at: number;
  by: string;
  /** Every head that holds this value: what an edit of it has seen. */
  ops: string[];
}

/** A record's latest state. `heads` leaves out registers whose only head is `op`. */
export interface Row {
  rid: string;
  entity: string;
  owner: string | null;
  seq: number;
  op: string;
  op_at: number;
  op_by: string;
  values: Record<string, Value>;
  heads: Record<string, HeadEntry[]>;
  /** Where heads disagree: every distinct value, the displayed one first. */
  also: Record<string, Alternative[]>;
  gone: boolean;
  flags: string[];
  made_at: number | null;
  made_by: string | null;
  /** Per op that deletes: all it had seen. Kept while a head of `deleted` is true. */
  del?: Record<string, string[]>;
}

/** The newest entry of the server's log, as every reply gives it. */
export interface Mark {
  seq: number;
  token: string;
  role: string;
}

export interface Ask {
  op_id: string;
  hash: string;
}

export type PushResult =
  | { op_id: string; status: 'applied'; seq: number }
  | {
      op_id: string;
      status: 'rejected';
      code: string;
      message: string;
      fields: Record<string, string[]> | null;
    }
  | { op_id: string; status: 'wait'; rid: string };

export interface PushReply {
  results: PushResult[];
  asked: { op_id: string; status: 'applied'; seq: number }[];
  mark: Mark;
  server_time: number;
  request_id: string;
}

export interface ChangesReply {
  rows: Row[];
  cursor: number;
  more: boolean;
  mark: Mark;
  server_time: number;
  request_id: string;
}

/** A few rows for the first screen of a new phone; part of no page. */
export interface FirstReply {
  rows: Row[];
  server_time: number;
  request_id: string;
}

export const PROTOCOL = 1;
export const SCHEMA = 1;
