/** The nutrition tables: fetched again only when they have changed. */

import type { Tables } from '../domain/tables.ts';
import { expectKeys, send } from './client.ts';

export interface FetchedTables {
  etag: string | null;
  tables: Tables;
}

/** Null if the tables with this ETag are still the latest. */
export async function getTables(etag: string | null): Promise<FetchedTables | null> {
  const headers: Record<string, string> = etag === null ? {} : { 'If-None-Match': etag };
  const reply = await send('GET', '/api/nutrition/tables', { headers });
  if (reply.status === 304) return null;
  return {
    etag: reply.headers.get('ETag'),
    tables: expectKeys<Tables>(reply.body, 'foods', 'nutrients'),
  };
}
