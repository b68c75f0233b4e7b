/** What is still to be sent, in the order of sending. */

import type { Context } from '../context.ts';
import type { HouseholdDatabase, OpState, StoredOp } from '../schema.ts';

/** No answer yet. */
export const OPEN: readonly OpState[] = ['pending', 'sent', 'wait'];

/** Each class of ops has room for so many numbers in the queue. */
const CLASS = 1e12;

const AT_ONCE = 500;

/** Those the server may have, ordinary ones, those that wait for a record, those that failed alone. */
function rank(op: StoredOp): -1 | 0 | 1 | 2 {
  if (op.poison) return 2;
  if (op.state === 'wait') return 1;
  return op.state === 'sent' ? -1 : 0;
}

/** Puts the properties right that the indexes go by; every op is stored through this. */
export function kept(op: StoredOp): StoredOp {
  const { due, closed, ...rest } = op;
  if (OPEN.includes(op.state)) return { ...rest, due: rank(op) * CLASS + op.n };
  const { state } = op;
  return state === 'rejected' || state === 'discarded' ? { ...rest, closed: state } : rest;
}

/**
 * The ids of what was dropped in this tab, once the store says so: a batch read before must not
 * carry it. Reading the batch anew would have each request wait for the storing of the reply before
 * it. What another tab drops in that moment counts as dropped under way.
 */
export const dropped = new Set<string>();

/** Entries of another member wait until somebody says yes. */
export function isHeld(op: StoredOp, member: string): boolean {
  return op.author !== member && op.submitted_by === undefined;
}

export async function unsent(db: HouseholdDatabase): Promise<StoredOp[]> {
  return db.ops.orderBy('due').toArray();
}

/** Those that went out without an answer, after a place in the queue. */
export async function sentAfter(
  db: HouseholdDatabase,
  due: number,
  limit: number,
): Promise<StoredOp[]> {
  return db.ops.where('due').between(due, 0, false, false).limit(limit).toArray();
}

/** It failed alone: from now on it goes last, and by itself. */
export async function setPoison(db: HouseholdDatabase, { op_id }: StoredOp): Promise<void> {
  await db.transaction('rw', db.ops, async () => {
    const op = await db.ops.get(op_id);
    if (op) await db.ops.put(kept({ ...op, poison: true }));
  });
}

/** One that had failed alone went through: what broke it is mended for the others too. */
export async function clearPoison(db: HouseholdDatabase): Promise<void> {
  await db.transaction('rw', db.ops, async () => {
    const poisoned = await db.ops
      .where('due')
      .aboveOrEqual(2 * CLASS)
      .toArray();
    await db.ops.bulkPut(poisoned.map(({ poison, ...op }) => kept(op)));
  });
}

/** Reads the queue from the front, a batch at a time. */
export class Queue {
  #from = -Infinity;
  /** Of what was read last, what no batch has taken yet. */
  #read: StoredOp[] = [];
  #isEnd = false;
  readonly #taken: Set<string>;

  constructor(
    private readonly context: Context,
    without: Iterable<string> = [],
  ) {
    this.#taken = new Set(without);
  }

  /** The next ops that travel together: of one rank, at most `limit` and `most_bytes`. */
  async next(limit: number, most_bytes: number): Promise<StoredOp[]> {
    while (this.#read.length < limit && !this.#isEnd) await this.#readOn();
    const [first] = this.#read;
    if (!first) return [];
    const most = first.poison ? 1 : limit;
    let bytes = 0;
    const end = this.#read.findIndex((op, index) => {
      bytes += JSON.stringify(op.body).length;
      return index >= most || (index > 0 && bytes > most_bytes) || isOther(op, first);
    });
    return this.#read.splice(0, end < 0 ? this.#read.length : end);
  }

  async #readOn(): Promise<void> {
    const { db, member } = this.context;
    const found = await db.ops.where('due').aboveOrEqual(this.#from).limit(AT_ONCE).toArray();
    const fresh = found.filter((op) => !this.#taken.has(op.op_id));
    for (const op of fresh) this.#taken.add(op.op_id);
    this.#read.push(...fresh.filter((op) => OPEN.includes(op.state) && !isHeld(op, member)));
    // Imported ops may share a number with own ones, so the last number is read again.
    this.#from = found.at(-1)?.due ?? Infinity;
    this.#isEnd = found.length < AT_ONCE;
  }
}

/** Ops that may be sent out of order, and one that failed alone, do not travel with others. */
function isOther(op: StoredOp, first: StoredOp): boolean {
  return Math.max(0, rank(op)) !== Math.max(0, rank(first));
}
