/**
 * What was done to one record. The phone keeps only its own ops and what still holds of the
 * others'; the rest is in the server's log, and stays readable offline once it was read.
 */

import { ApiError } from '../api/client.ts';
import { readHistory, type HistoryReply, type ReadHistory } from '../api/sync.ts';
import { deedsOfRow, stepsOf, type Deed, type Step } from '../domain/history.ts';
import { current, type Context } from './context.ts';
import { remember, remembered } from './device.ts';
import { namesFor } from './names.ts';
import { storedRecord, toRec, type Rec } from './read.ts';
import { childrenOf } from './refold.ts';
import type { OpState, StoredOp, StoredRecord } from './schema.ts';
import type { Naming } from './words.ts';

export interface RecordHistory {
  rid: string;
  entity: string;
  /** The record as it is now; null where only refused or dropped entries tell of it. */
  rec: Rec | null;
  steps: Step[];
  /** What belongs to it, the latest touched first, deleted ones too. */
  below: Rec[];
  /** When the server's log was read, epoch milliseconds; null: what this phone knows is not all. */
  read_at: number | null;
  naming: Naming;
}

interface Read {
  deeds: HistoryReply['deeds'];
  read_at: number;
}

const MOST_BELOW = 40;
const STATES: Record<OpState, Deed['state']> = {
  pending: 'waiting',
  sent: 'waiting',
  wait: 'waiting',
  applied: 'in force',
  rejected: 'refused',
  discarded: 'dropped',
};

/** By member: what one may see another may not, and a phone can change hands. */
function cacheKey({ household, member }: Context, rid: string): string {
  return `history:${household}:${member}:${rid}`;
}

function ofPhone({ op_id, body, author, submitted_by, state }: StoredOp): Deed {
  const { occurred_at: at, set, seen } = body;
  const by = { by: author, submitted_by: submitted_by ?? null };
  return { op_id, ...by, at, new: body.new, set, seen, state: STATES[state] };
}

/** Each op once: as the server tells it, else as this phone wrote it, else what still holds of it. */
function merged(
  read: HistoryReply['deeds'],
  own: readonly StoredOp[],
  row: StoredRecord | undefined,
): Deed[] {
  const deeds = new Map<string, Deed>();
  for (const deed of row ? deedsOfRow(row) : []) deeds.set(deed.op_id, deed);
  for (const deed of own.map(ofPhone)) deeds.set(deed.op_id, deed);
  for (const { seq, ...deed } of read) {
    const state = deeds.get(deed.op_id)?.state === 'waiting' ? 'waiting' : 'in force';
    deeds.set(deed.op_id, { ...deed, state });
  }
  return [...deeds.values()];
}

async function latestBelow({ db }: Context, rid: string): Promise<Rec[]> {
  const of = (live: 0 | 1) => childrenOf(db, rid, live).toArray();
  const rows = [...(await of(1)), ...(await of(0))].sort((a, b) => b.op_at - a.op_at);
  return rows.slice(0, MOST_BELOW).map((row) => toRec(row));
}

/** All that is known on this phone; null where it knows nothing of the record. */
export async function history(rid: string): Promise<RecordHistory | null> {
  const context = current();
  const { db } = context;
  const row = await storedRecord(rid);
  // Opened now and then, so the log of this phone is not worth an index that every save pays for.
  const own = (await db.ops.toArray()).filter((op) => op.rid === rid);
  const entity = row?.entity ?? own[0]?.entity;
  if (entity === undefined) return null;
  const below = row ? await latestBelow(context, rid) : [];
  // What a role may no longer see goes with its records, read before or not.
  const cached = row ? await remembered(cacheKey(context, rid)) : undefined;
  const read = (cached?.value as Read | undefined) ?? null;
  const deeds = merged(read?.deeds ?? [], own, row);
  const naming = await namesFor([
    ...deeds.map(({ set }) => ({ rid, entity, values: set })),
    ...below.map((rec) => ({ ...rec, values: { ...rec.values } })),
  ]);
  const rec = row ? toRec(row) : null;
  return { rid, entity, rec, steps: stepsOf(deeds), below, read_at: read?.read_at ?? null, naming };
}

/** Reads the whole history from the server and keeps it. Throws NoAnswer where nobody answers. */
export async function fetchHistory(rid: string, read: ReadHistory = readHistory): Promise<void> {
  const context = current();
  const deeds: HistoryReply['deeds'] = [];
  try {
    for (let before: number | null = null, more = true; more;) {
      const page: HistoryReply = await read(context.household, rid, before);
      deeds.push(...page.deeds);
      before = page.deeds.at(-1)?.seq ?? null;
      more = page.more && before !== null;
    }
  } catch (error) {
    // The server does not have the record yet: what this phone knows is all there is.
    if (!(error instanceof ApiError) || error.status !== 404) throw error;
  }
  await remember(cacheKey(context, rid), { deeds, read_at: Date.now() } satisfies Read);
}
