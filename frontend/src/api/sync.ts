/** Push and pull. Only an answer that proves to be the server's own counts as one. */

import {
  PROTOCOL,
  SCHEMA,
  type Ask,
  type ChangesReply,
  type Mark,
  type Op,
  type PushReply,
} from '../domain/protocol.ts';
import { ApiError, newRequestId, NoAnswer, send, type Method, type Reply } from './client.ts';

export interface PushBody {
  mark: Mark | null;
  device_id: string;
  ops: Op[];
  ask: Ask[];
}

/** The two calls the sync loop makes; tests give it a server of their own. */
export interface SyncServer {
  push(household: string, body: PushBody): Promise<PushReply>;
  changes(household: string, cursor: number, mark: Mark | null): Promise<ChangesReply>;
}

const PAGE = 1000;

function protocolHeaders(requestId: string): Record<string, string> {
  return {
    'Sync-Protocol': String(PROTOCOL),
    'Sync-Schema': String(SCHEMA),
    'X-Request-Id': requestId,
  };
}

/** A cache, a portal or another site may answer 200 with JSON too; only the server echoes the id. */
function assertOwn(reply: Reply, requestId: string): void {
  const body = reply.body as { request_id?: unknown } | null;
  if (reply.headers.get('Sync-Protocol') === null || body?.request_id !== requestId) {
    throw new NoAnswer();
  }
}

async function call<T>(method: Method, path: string, body?: unknown): Promise<T> {
  const requestId = newRequestId();
  const reply = await send(method, path, { body, headers: protocolHeaders(requestId) });
  assertOwn(reply, requestId);
  return reply.body as T;
}

export const syncServer: SyncServer = {
  push: (household, body) => call('POST', `/api/households/${household}/sync/push`, body),
  changes: (household, cursor, mark) => {
    const query = new URLSearchParams({ cursor: String(cursor), limit: String(PAGE) });
    if (mark) query.set('mark', `${String(mark.seq)}.${mark.token}.${mark.role}`);
    return call('GET', `/api/households/${household}/sync/changes?${query.toString()}`);
  },
};

/** Whether the error is a fault of the server, which trying again may mend. */
export function isServerFault(error: unknown): boolean {
  return error instanceof ApiError && error.status >= 500;
}
