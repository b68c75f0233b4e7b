/** All own entries in a file, and back: through the same push, so twice has one effect. */

import { bodyHash } from '../domain/canonical.ts';
import { isUuid } from '../domain/ids.ts';
import type { Op } from '../domain/protocol.ts';
import { current } from './context.ts';
import { refold } from './refold.ts';
import type { StoredOp } from './schema.ts';
import { transact } from './write.ts';

/** Every op of this phone as JSON Lines, whatever became of it. */
export async function exportOps(): Promise<Blob> {
  const ops = (await current().db.ops.toArray()).sort((a, b) => a.n - b.n);
  const lines = ops.map((op) => `${JSON.stringify(op.body)}\n`);
  return new Blob(lines, { type: 'application/x-ndjson' });
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

function isOp(value: unknown): value is Op {
  const op = value as Partial<Op> | null;
  return (
    typeof op === 'object' &&
    op !== null &&
    isUuid(op.op_id) &&
    isUuid(op.rid) &&
    isUuid(op.household) &&
    typeof op.entity === 'string' &&
    typeof op.author === 'string' &&
    typeof op.n === 'number' &&
    typeof op.occurred_at === 'number' &&
    typeof op.set === 'object' &&
    typeof op.seen === 'object'
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

function toStored(op: Op): StoredOp {
  return {
    op_id: op.op_id,
    n: op.n,
    rid: op.rid,
    entity: op.entity,
    author: op.author,
    state: 'pending',
    overlay: 1,
    body: op,
    hash: bodyHash(op),
  };
}

/** Takes in the entries of a file. Those of other members wait until somebody says yes. */
export async function importOps(file: Blob): Promise<Imported> {
  const { db, household } = current();
  const ops = parse(await file.text(), household);
  return transact(async () => {
    const known = await db.ops.bulkGet(ops.map((op) => op.op_id));
    const missing = ops.filter((_, index) => known[index] === undefined);
    await db.ops.bulkPut(missing.map(toStored));
    await refold(db, new Set(missing.map((op) => op.rid)));
    return { added: missing.length, known: ops.length - missing.length };
  });
}
