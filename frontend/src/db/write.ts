/** Writes: first to this phone, in one transaction, and confirmed only when it has completed. */

import Dexie from 'dexie';
import { sameValue } from '../domain/canonical.ts';
import { kinds } from '../domain/declared.ts';
import { uuid7 } from '../domain/ids.ts';
import type { Entity, Values } from '../domain/kinds.ts';
import type { SeenHeads } from '../domain/protocol.ts';
import { validate } from '../domain/validate.ts';
import { append, collect, type Stored } from './batch.ts';
import { announceWrite, current } from './context.ts';
import { nextTicket, show } from './counts.ts';
import { asNotSaved, InvalidValues, isLostConnection, NotSaved } from './errors.ts';
import { storedRecord, toRec, type Rec } from './read.ts';
import { reopen } from './open.ts';
import { app } from './state.svelte.ts';

/**
 * Runs several writes as one: all of them are on the disk, or none is.
 *
 * Resolves when the transaction has completed. Inside, await nothing but the writes and
 * reads of this store: IndexedDB commits as soon as a transaction has nothing to do.
 */
export async function transact<T>(work: () => Promise<T>): Promise<T> {
  // Inside another write's transaction this one is part of it.
  if (Dexie.currentTransaction) return work();
  try {
    const { result, appended, ticket } = await attempt(work);
    // Before anything is called saved the mark knows of it: it must never say synced meanwhile.
    if (appended > 0) show({ ticket, waiting: app.waiting + appended });
    announceWrite();
    return result;
  } catch (error) {
    throw asNotSaved(error);
  }
}

async function attempt<T>(work: () => Promise<T>): Promise<Stored<T>> {
  try {
    return await collect(work, nextTicket());
  } catch (error) {
    if (!isLostConnection(error)) throw error;
    // Once: a store that dies twice needs a person.
    if (!(await reopen(current()))) throw new NotSaved('lost', error);
    return collect(work, nextTicket());
  }
}

function assertValid(entity: string, set: Record<string, unknown>, creating: boolean): void {
  const errors = validate(entity, set, { creating });
  if (errors) throw new InvalidValues(errors);
}

function shownHeads(rec: Rec, registers: readonly string[]): SeenHeads {
  return Object.fromEntries(registers.map((name) => [name, rec.seen[name]?.shown ?? []]));
}

/**
 * Makes a record and returns its id.
 *
 * With the id of a slot (a meal at a mealtime, say) another phone may make the same
 * record: equal values agree, different ones show side by side. Made again after it was
 * deleted here, the record comes back with the new values.
 */
export async function create<E extends Entity>(
  entity: E,
  values: Values[E],
  slot?: string,
): Promise<string> {
  const set = { ...values } as Record<string, unknown>;
  assertValid(entity, set, true);
  const rid = slot ?? uuid7();
  await transact(async () => {
    const known = slot === undefined ? undefined : await storedRecord(slot);
    if (known?.gone) await bringBack(toRec<E>(known), set);
    else await append({ entity, rid, new: true, set, seen: {}, isNewId: slot === undefined });
  });
  return rid;
}

async function bringBack(rec: Rec, values: Record<string, unknown>): Promise<void> {
  const registers = kinds[rec.entity]?.registers ?? {};
  const changed = Object.entries(values).filter(
    ([name, value]) =>
      !registers[name]?.immutable &&
      !sameValue(value, (rec.values as unknown as Record<string, unknown>)[name]),
  );
  const set = { ...Object.fromEntries(changed), deleted: false };
  const seen = Object.fromEntries(
    Object.keys(set).map((name) => [name, rec.seen[name]?.all ?? []]),
  );
  await append({ entity: rec.entity, rid: rec.rid, new: false, set, seen });
}

/** Sets the registers that differ from what `rec` showed; the others stay untouched. */
export async function edit<E extends Entity>(
  rec: Rec<E>,
  changes: Partial<Values[E]>,
): Promise<void> {
  const before = rec.values as unknown as Record<string, unknown>;
  const set = Object.fromEntries(
    Object.entries(changes).filter(([name, value]) => !sameValue(value, before[name])),
  );
  if (Object.keys(set).length === 0) return;
  assertValid(rec.entity, set, false);
  const seen = shownHeads(rec, Object.keys(set));
  await transact(() => append({ entity: rec.entity, rid: rec.rid, new: false, set, seen }));
}

/** Deletes what `rec` showed. What nobody had seen by then keeps the record alive, flagged. */
export async function remove(rec: Rec): Promise<void> {
  const seen = Object.fromEntries(
    Object.entries(rec.seen).map(([name, heads]) => [name, heads.all]),
  );
  await transact(() =>
    append({ entity: rec.entity, rid: rec.rid, new: false, set: { deleted: true }, seen }),
  );
}

/** Takes a deletion back. */
export async function restore(rec: Rec): Promise<void> {
  const seen = { deleted: rec.seen['deleted']?.all ?? [] };
  await transact(() =>
    append({ entity: rec.entity, rid: rec.rid, new: false, set: { deleted: false }, seen }),
  );
}

/** Settles a disagreement: every value on screen has been seen, this one holds. */
export async function resolve<E extends Entity>(
  rec: Rec<E>,
  register: keyof Values[E] & string,
  value: unknown,
): Promise<void> {
  const set = { [register]: value };
  assertValid(rec.entity, set, false);
  const seen = { [register]: rec.seen[register]?.all ?? [] };
  await transact(() => append({ entity: rec.entity, rid: rec.rid, new: false, set, seen }));
}
