/**
 * A record computed from the set of its operations, in whatever order they arrived.
 *
 * The server runs the same function in Python over its whole log; the phone runs this
 * one over the server's row and its own pending ops. fixtures/vectors/fold.json proves
 * that they agree. No clock decides whether a value survives: an op replaces only what
 * its author had seen.
 */

import { sameValue } from './canonical.ts';
import type { Alternative, HeadEntry, Op, Row, SeenHeads } from './protocol.ts';

/** The part of a row that its operations decide; rid, entity, owner and seq are not. */
export type Folded = Omit<Row, 'rid' | 'entity' | 'owner' | 'seq'>;

/** What the fold needs of an op. */
export interface FoldOp {
  op_id: string;
  author: string;
  /** The moment it counts for: when it happened, at most when the server received it. */
  at: number;
  new: boolean;
  set: Record<string, unknown>;
  seen: SeenHeads;
  /** Only the server can tell: this phone's clock was more than ten minutes ahead. */
  clock_ahead?: boolean;
}

interface Head {
  op: string;
  at: number;
  by: string;
  value: unknown;
}

type Heads = Map<string, Head[]>;
type Deletes = Record<string, string[]>;

const DELETED = 'deleted';
/** Flags of a row: deleted, and alive all the same. */
export const CHANGED = 'deleted_but_changed';
export const HAS_CHILDREN = 'deleted_but_has_children';
/** Flag of a row: the phone that wrote it had its clock more than ten minutes ahead. */
export const CLOCK_AHEAD = 'clock_ahead';
const OWN_FLAGS: readonly string[] = [CHANGED, HAS_CHILDREN, CLOCK_AHEAD];

/** An own op that the server has not received yet. */
export function pendingOp({ op_id, author, occurred_at, set, seen, ...op }: Op): FoldOp {
  return { op_id, author, at: occurred_at, new: op.new, set, seen };
}

/** The latest first; of equal moments the greater op id. Decides display, never survival. */
function byDisplay(a: Head, b: Head): number {
  return b.at - a.at || (a.op < b.op ? 1 : -1);
}

/** The heads of a register, the abbreviation of the wire undone; none if it was never set. */
export function headEntries(row: Folded, register: string): HeadEntry[] {
  const listed = row.heads[register];
  if (listed) return listed;
  return register in row.values ? [[row.op, row.op_at, row.op_by]] : [];
}

function headsOfRow(row: Folded): Heads {
  const heads: Heads = new Map();
  for (const [register, displayed] of Object.entries(row.values)) {
    const others = row.also[register] ?? [];
    const held = headEntries(row, register).map(([op, at, by]) => {
      const other = others.find((alternative) => alternative.ops.includes(op));
      return { op, at, by, value: other ? other.value : displayed };
    });
    heads.set(register, held);
  }
  return heads;
}

function superseded(ops: readonly FoldOp[], register: string): Set<string> {
  const seen = new Set<string>();
  for (const op of ops) {
    if (!(register in op.set)) continue;
    for (const id of op.seen[register] ?? []) if (id !== op.op_id) seen.add(id);
  }
  return seen;
}

function headsAfter(base: Folded | null, ops: readonly FoldOp[]): Heads {
  const heads: Heads = base ? headsOfRow(base) : new Map<string, Head[]>();
  for (const op of ops) {
    for (const [register, value] of Object.entries(op.set)) {
      const held = heads.get(register) ?? [];
      if (!held.some((head) => head.op === op.op_id)) {
        held.push({ op: op.op_id, at: op.at, by: op.author, value });
      }
      heads.set(register, held);
    }
  }
  for (const [register, held] of heads) {
    const seen = superseded(ops, register);
    const left = held.filter((head) => !seen.has(head.op));
    // Only ops forged to have seen each other leave no head; then none has the last word.
    heads.set(register, (left.length > 0 ? left : held).sort(byDisplay));
  }
  return heads;
}

/** One entry per distinct value; none where all heads agree. */
function alternatives(held: readonly Head[]): Alternative[] {
  const distinct: Alternative[] = [];
  for (const { op, value, at, by } of held) {
    const same = distinct.find((other) => sameValue(other.value, value));
    if (same) same.ops.push(op);
    else distinct.push({ op, value, at, by, ops: [op] });
  }
  return distinct.length > 1 ? distinct : [];
}

/** What each delete in force had seen, over all registers. */
function deletesInForce(base: Folded | null, ops: readonly FoldOp[], heads: Heads): Deletes {
  const deletes: Deletes = {};
  for (const head of heads.get(DELETED) ?? []) {
    if (head.value !== true) continue;
    const known = base?.del?.[head.op];
    const op = ops.find((candidate) => candidate.op_id === head.op);
    if (known) deletes[head.op] = known;
    else if (op) deletes[head.op] = [...new Set(Object.values(op.seen).flat())].sort();
  }
  return deletes;
}

function hasUnseenHead(heads: Heads, deletes: Deletes): boolean {
  const saw = new Set([...Object.values(deletes).flat(), ...Object.keys(deletes)]);
  return [...heads].some(
    ([register, held]) => register !== DELETED && held.some((head) => !saw.has(head.op)),
  );
}

/** Why a deleted record lives on: empty if it is gone. */
function reasonsToLive(heads: Heads, deletes: Deletes, hasLiveChildren: boolean): string[] {
  const undeleted = (heads.get(DELETED) ?? []).some((head) => head.value !== true);
  const reasons: string[] = [];
  if (undeleted || hasUnseenHead(heads, deletes)) reasons.push(CHANGED);
  if (hasLiveChildren) reasons.push(HAS_CHILDREN);
  return reasons;
}

function isClockAhead(base: Folded | null, ops: readonly FoldOp[]): boolean {
  if (base?.flags.includes(CLOCK_AHEAD)) return true;
  return ops.some((op) => op.clock_ahead === true);
}

function made(base: Folded | null, ops: readonly FoldOp[]): Pick<Row, 'made_at' | 'made_by'> {
  const makers = ops.filter((op) => op.new).map((op) => ({ at: op.at, by: op.author }));
  if (base && base.made_at !== null) makers.push({ at: base.made_at, by: base.made_by ?? '' });
  const first = makers.sort((a, b) => a.at - b.at || (a.by < b.by ? -1 : 1))[0];
  return { made_at: first?.at ?? null, made_by: first?.by ?? null };
}

function registersOf(heads: Heads, rowOp: string): Pick<Row, 'values' | 'heads' | 'also'> {
  const row: Pick<Row, 'values' | 'heads' | 'also'> = { values: {}, heads: {}, also: {} };
  for (const [register, held] of heads) {
    row.values[register] = held[0]?.value;
    if (held.length !== 1 || held[0]?.op !== rowOp) {
      row.heads[register] = held.map((head) => [head.op, head.at, head.by]);
    }
    const others = alternatives(held);
    if (others.length > 0) row.also[register] = others;
  }
  return row;
}

/**
 * The record's row after `ops`, on top of `base` (null: none before).
 *
 * `ops` may come in any order and repeat what is a head of `base` already. Throws
 * without a base and without an op that sets something: there is no record.
 */
export function fold(
  base: Folded | null,
  ops: readonly FoldOp[],
  hasLiveChildren: boolean,
): Folded {
  const heads = headsAfter(base, ops);
  const latest = [...heads.values()].flat().sort(byDisplay)[0];
  if (!latest) throw new Error('A record needs at least one operation that sets a register.');
  const deletes = deletesInForce(base, ops, heads);
  const isDeleted = Object.keys(deletes).length > 0;
  const reasons = isDeleted ? reasonsToLive(heads, deletes, hasLiveChildren) : [];
  const kept = (base?.flags ?? []).filter((flag) => !OWN_FLAGS.includes(flag));
  if (isClockAhead(base, ops)) kept.push(CLOCK_AHEAD);
  return {
    ...base,
    op: latest.op,
    op_at: latest.at,
    op_by: latest.by,
    ...registersOf(heads, latest.op),
    gone: isDeleted && reasons.length === 0,
    flags: [...kept, ...reasons].sort(),
    ...made(base, ops),
    del: deletes,
  };
}
