/** How a row is stored: what the server sent, and beside it what the indexes need. */

import { ownerIn } from '../domain/declared.ts';
import { CHANGED, HAS_CHILDREN, headEntries } from '../domain/fold.ts';
import type { Row, SeenHeads } from '../domain/protocol.ts';
import type { StoredOp, StoredRecord } from './schema.ts';

/** A meal belongs to its day, which need not be the day of its instant: that one is in UTC. */
export function rangeRegister(entity: string): 'day' | 'at' {
  return entity === 'meal' ? 'day' : 'at';
}

export function textIn(values: Row['values'], register: string): string | undefined {
  const value = values[register];
  return typeof value === 'string' ? value : undefined;
}

/** For every own head that is not pulled yet: what its author had seen. */
function closureOf(row: Row, overlay: readonly StoredOp[]): StoredRecord['closure'] {
  const closure: Record<string, SeenHeads> = {};
  const heads = new Set(
    Object.keys(row.values).flatMap((name) => headEntries(row, name).map(([op]) => op)),
  );
  for (const op of overlay) if (heads.has(op.op_id)) closure[op.op_id] = op.body.seen;
  return Object.keys(closure).length > 0 ? closure : undefined;
}

/** Deleted by one, and kept alive by what another did: a person has to say which holds. */
export function outlivedDelete(row: Pick<Row, 'gone' | 'flags'>): boolean {
  return !row.gone && (row.flags.includes(CHANGED) || row.flags.includes(HAS_CHILDREN));
}

export function isDeleted(row: Pick<Row, 'del'> | null | undefined): boolean {
  return Object.keys(row?.del ?? {}).length > 0;
}

/** `based`: whether the server's own row lies in `base`, because this one differs from it. */
export function toRecord(row: Row, overlay: readonly StoredOp[], based: boolean): StoredRecord {
  const record: StoredRecord = {
    ...row,
    owner: row.owner ?? ownerIn(row.entity, row.values),
    live: row.gone ? 0 : 1,
    when: textIn(row.values, rangeRegister(row.entity)) ?? '',
    pending: overlay.length > 0,
  };
  if (Object.keys(row.also).length > 0 || outlivedDelete(row)) record.clash = 1;
  if (based) record.based = true;
  if (overlay.length === 0) return record;
  record.over = overlay.map((op) => op.op_id);
  const closure = closureOf(row, overlay);
  if (closure) record.closure = closure;
  return record;
}

/** The row that a record was made from where it is the server's, as it is. */
export function toRow(record: StoredRecord): Row {
  const { live, when, clash, pending, over, based, closure, carried, ...row } = record;
  return row;
}
