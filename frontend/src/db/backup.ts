/** Own entries in a file, and back: through the same push, so twice has one effect. */

import { isUuid } from '../domain/ids.ts';
import type { Op } from '../domain/protocol.ts';
import { current } from './context.ts';
import { readDevice, unsentOp } from './batch.ts';
import { count, show } from './counts.ts';
import { opFile } from './op-file.ts';
import { refold, type Change } from './refold.ts';
import { reportError } from './state.svelte.ts';
import { unsent } from './sync/queue.ts';
import { transact } from './write.ts';

/** unsynced: what the server has not taken, waiting or refused. all: what it has taken too. */
export type Which = 'all' | 'unsynced';

/**
 * Entries of this phone as JSON Lines. What a person threw away stays out: taken in
 * elsewhere it would be sent after all.
 */
export async function exportOps(which: Which = 'all'): Promise<Blob> {
  const { db } = current();
  const found =
    which === 'all'
      ? await db.ops.toArray()
      : [...(await unsent(db)), ...(await db.ops.where('closed').equals('rejected').toArray())];
  return opFile(found.filter((op) => op.state !== 'discarded').map(({ body }) => body));
}

export interface Imported {
  /** Entries that were not on this phone; they wait to be sent. */
  added: number;
  /** Entries this phone had already. */
  known: number;
}

/** The file is not one of exportOps, or of another household. Nothing was taken from it. */
export class NotAnExport extends Error {
  override name = 'NotAnExport';
}

function isObject(value: unknown): value is Record<string, unknown> {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}

function isSeen(value: unknown): boolean {
  return isObject(value) && Object.values(value).every((ids) => Array.isArray(ids));
}

function isOp(value: unknown): value is Op {
  if (!isObject(value)) return false;
  const op: Partial<Op> = value;
  return (
    isUuid(op.op_id) &&
    isUuid(op.rid) &&
    isUuid(op.household) &&
    typeof op.entity === 'string' &&
    typeof op.author === 'string' &&
    typeof op.n === 'number' &&
    typeof op.occurred_at === 'number' &&
    typeof op.new === 'boolean' &&
    isObject(op.set) &&
    Object.keys(op.set).length > 0 &&
    isSeen(op.seen)
  );
}

function parse(text: string, household: string): Op[] {
  return text
    .split('\n')
    .filter((line) => line.trim() !== '')
    .map((line, index) => {
      const where = `Line ${String(index + 1)}`;
      let op: unknown;
      try {
        op = JSON.parse(line);
      } catch {
        throw new NotAnExport(`${where} is not JSON. Choose a file that Trencher saved.`);
      }
      if (!isOp(op)) {
        throw new NotAnExport(`${where} is not an entry. Choose a file that Trencher saved.`);
      }
      if (op.household !== household) {
        throw new NotAnExport(`${where} belongs to another household. Open that one first.`);
      }
      return op;
    });
}

/** What taking in a file would do; nothing is changed yet. */
export interface Preview {
  /** Entries that are not on this phone. */
  fresh: number;
  known: number;
  /** Of the fresh ones, those of other members: they wait until somebody says yes. */
  ofOthers: number;
  /** Whose those are. */
  authors: string[];
}

/** The entries of a file, each once. */
async function readOps(file: Blob): Promise<Op[]> {
  const ops = parse(await file.text(), current().household);
  if (ops.length === 0) {
    throw new NotAnExport('There is no entry in this file. Choose a file that Trencher saved.');
  }
  return [...new Map(ops.map((op) => [op.op_id, op])).values()];
}

async function freshAmong(ops: readonly Op[]): Promise<Op[]> {
  const known = await current().db.ops.bulkGet(ops.map((op) => op.op_id));
  return ops.filter((_, index) => known[index] === undefined);
}

export async function previewImport(file: Blob): Promise<Preview> {
  const { member } = current();
  const ops = await readOps(file);
  const fresh = await freshAmong(ops);
  const others = fresh.filter((op) => op.author !== member);
  const authors = [...new Set(others.map((op) => op.author))];
  return {
    fresh: fresh.length,
    known: ops.length - fresh.length,
    ofOthers: others.length,
    authors,
  };
}

/** Takes in the entries of a file. Those of other members wait until somebody says yes. */
export async function importOps(file: Blob): Promise<Imported> {
  const context = current();
  const { db } = context;
  const ops = await readOps(file);
  const imported = await transact(async () => {
    const fresh = await freshAmong(ops);
    const stored = fresh.map(unsentOp);
    const device = await readDevice(context);
    const authors = new Set([...device.authors, ...fresh.map((op) => op.author)]);
    await db.meta.put({ ...device, authors: [...authors] });
    await db.ops.bulkPut(stored);
    const changes = new Map<string, Change>();
    for (const op of stored) {
      changes.set(op.rid, { add: [...(changes.get(op.rid)?.add ?? []), op] });
    }
    await refold(db, changes);
    return { added: fresh.length, known: ops.length - fresh.length };
  });
  // Before they are called taken in the mark knows of them. Should counting fail, they are on the
  // disk all the same, and the mark follows the store by itself.
  await count(context).then(show, reportError);
  return imported;
}
