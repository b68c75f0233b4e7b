/**
 * What was done to one record, from its operations: who changed what from what to what.
 *
 * "From" is what the author had seen, not what stood there when the entry arrived: that is
 * what the author meant to change.
 */

import { sameValue } from './canonical.ts';
import { headEntries, type Folded } from './fold.ts';
import type { SeenHeads } from './protocol.ts';

/** One op of a record, as far as it is known here. */
export interface Deed {
  op_id: string;
  by: string;
  /** The member who sent what another one had written. */
  submitted_by: string | null;
  /** The moment it counts for, epoch milliseconds. */
  at: number;
  new: boolean;
  set: Record<string, unknown>;
  seen: SeenHeads;
  /** waiting: not at the server yet. refused, dropped: never in force. partial: only what still holds. */
  state: 'in force' | 'waiting' | 'refused' | 'dropped' | 'partial';
}

/** A value that somebody else wrote without knowing of this one. */
export interface Rival {
  value: unknown;
  by: string;
}

export interface Change {
  register: string;
  to: unknown;
  /** The distinct values its author saw; null where this phone does not know them. */
  from: unknown[] | null;
  rivals: Rival[];
}

export interface Step {
  deed: Deed;
  what: 'added' | 'changed' | 'settled' | 'deleted' | 'brought back';
  changes: Change[];
}

const DELETED = 'deleted';

/** The ops that `op` had seen for a register, and those that these had seen, and so on. */
function ancestors(known: ReadonlyMap<string, Deed>, op: Deed, register: string): Set<string> {
  const found = new Set<string>();
  const todo = [...(op.seen[register] ?? [])];
  for (let id = todo.pop(); id !== undefined; id = todo.pop()) {
    if (found.has(id)) continue;
    found.add(id);
    todo.push(...(known.get(id)?.seen[register] ?? []));
  }
  return found;
}

function distinct(values: readonly unknown[]): unknown[] {
  return values.filter(
    (value, index) => values.findIndex((other) => sameValue(other, value)) === index,
  );
}

/** The values on the author's screen: those of the ops it lists that no other of them had seen. */
function fromOf(known: ReadonlyMap<string, Deed>, deed: Deed, register: string): unknown[] | null {
  const seen = deed.seen[register] ?? [];
  if (seen.length === 0) return deed.state === 'partial' ? null : [];
  const listed = seen.flatMap((id) => known.get(id) ?? []);
  if (listed.length === 0) return null;
  const older = new Set(listed.flatMap((each) => [...ancestors(known, each, register)]));
  const heads = listed.filter((each) => !older.has(each.op_id) && register in each.set);
  return distinct(heads.map((each) => each.set[register]));
}

function isInForce(deed: Deed): boolean {
  return deed.state === 'in force' || deed.state === 'waiting';
}

function rivalsOf(known: ReadonlyMap<string, Deed>, deed: Deed, register: string): Rival[] {
  if (!isInForce(deed)) return [];
  const older = ancestors(known, deed, register);
  const rivals: Rival[] = [];
  for (const other of known.values()) {
    if (other === deed || !isInForce(other) || !(register in other.set)) continue;
    const value = other.set[register];
    if (older.has(other.op_id) || sameValue(value, deed.set[register])) continue;
    if (ancestors(known, other, register).has(deed.op_id)) continue;
    if (!rivals.some((rival) => sameValue(rival.value, value)))
      rivals.push({ value, by: other.by });
  }
  return rivals;
}

function whatOf(deed: Deed, changes: readonly Change[]): Step['what'] {
  if (deed.set[DELETED] === true) return 'deleted';
  if (deed.set[DELETED] === false) return 'brought back';
  if (deed.new) return 'added';
  return changes.some((change) => (change.from?.length ?? 0) > 1) ? 'settled' : 'changed';
}

/** The record's story, the newest first. */
export function stepsOf(deeds: readonly Deed[]): Step[] {
  const known = new Map(deeds.map((deed) => [deed.op_id, deed]));
  const steps = deeds.map((deed): Step => {
    const changes = Object.entries(deed.set)
      .filter(([register]) => register !== DELETED)
      .map(([register, to]) => ({
        register,
        to,
        from: fromOf(known, deed, register),
        rivals: rivalsOf(known, deed, register),
      }));
    return { deed, what: whatOf(deed, changes), changes };
  });
  return steps.sort((a, b) => b.deed.at - a.deed.at || (a.deed.op_id < b.deed.op_id ? 1 : -1));
}

/** The ops behind what a row still shows: who, when and which value, but not what they had seen. */
export function deedsOfRow(row: Folded): Deed[] {
  const deeds = new Map<string, Deed>();
  for (const [register, displayed] of Object.entries(row.values)) {
    for (const [op_id, at, by] of headEntries(row, register)) {
      const other = row.also[register]?.find((each) => each.ops.includes(op_id));
      const known = deeds.get(op_id);
      const set = { ...known?.set, [register]: other ? other.value : displayed };
      const rest = { op_id, at, by, submitted_by: null, new: false, seen: {} };
      deeds.set(op_id, { ...rest, set, state: 'partial' });
    }
  }
  return [...deeds.values()];
}
