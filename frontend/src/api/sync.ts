/** Push, pull and a record's history. Only an answer that proves to be the server's own counts as one. */

import {
  PROTOCOL,
  SCHEMA,
  type Ask,
  type ChangesReply,
  type FirstReply,
  type Mark,
  type Op,
  type PushReply,
  type SeenHeads,
} from '../domain/protocol.ts';
import { ApiError, newRequestId, NoAnswer, send, type Method, type Reply } from './client.ts';

export interface PushBody {
  mark: Mark | null;
  device_id: string;
  ops: Op[];
  ask: Ask[];
}

/** The calls the sync loop makes; tests give it a server of their own. */
export interface SyncServer {
  push(household: string, body: PushBody): Promise<PushReply>;
  changes(household: string, cursor: number, mark: Mark | null): Promise<ChangesReply>;
  /** Nothing depends on it, so a server may be without. */
  first?(household: string): Promise<FirstReply>;
}

/** What was done to a record, as the server's log has it: a page, the newest first. */
export interface HistoryReply {
  rid: string;
  entity: string;
  deeds: {
    op_id: string;
    seq: number;
    by: string;
    submitted_by: string | null;
    at: number;
    new: boolean;
    set: Record<string, unknown>;
    seen: SeenHeads;
  }[];
  more: boolean;
}

/** `before`: the seq below which to go on. */
export type ReadHistory = (
  household: string,
  rid: string,
  before: number | null,
) => Promise<HistoryReply>;

const PAGE = 1000;
const DEEDS = 500;

function protocolHeaders(requestId: string): Record<string, string> {
  return {
    'Sync-Protocol': String(PROTOCOL),
    'Sync-Schema': String(SCHEMA),
    'X-Request-Id': requestId,
  };
}

/** A cache, a portal or a proxy may answer with JSON too; only the server echoes the id. */
function isOwn(headers: Headers, requestId: string): boolean {
  return headers.get('Sync-Protocol') !== null && headers.get('X-Request-Id') === requestId;
}

async function call<T>(method: Method, path: string, body?: unknown): Promise<T> {
  const requestId = newRequestId();
  const headers = protocolHeaders(requestId);
  let reply: Reply;
  try {
    reply = await send(method, path, { body, headers });
  } catch (error) {
    const isForeign = error instanceof ApiError && !isOwn(error.headers, requestId);
    throw isForeign ? new NoAnswer(error, error.retryAfter_s) : error;
  }
  const echoed = (reply.body as { request_id?: unknown } | null)?.request_id;
  if (!isOwn(reply.headers, requestId) || echoed !== requestId) throw new NoAnswer();
  return reply.body as T;
}

export const syncServer: SyncServer = {
  push: (household, body) => call('POST', `/api/households/${household}/sync/push`, body),
  first: (household) => call('GET', `/api/households/${household}/sync/first`),
  changes: (household, cursor, mark) => {
    const query = new URLSearchParams({ cursor: String(cursor), limit: String(PAGE) });
    if (mark) query.set('mark', `${String(mark.seq)}.${mark.token}.${mark.role}`);
    return call('GET', `/api/households/${household}/sync/changes?${query.toString()}`);
  },
};

export const readHistory: ReadHistory = (household, rid, before) => {
  const query = new URLSearchParams({ limit: String(DEEDS) });
  if (before !== null) query.set('before', String(before));
  return call('GET', `/api/households/${household}/sync/history/${rid}?${query.toString()}`);
};
