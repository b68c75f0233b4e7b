/** Writes: first to this phone, in one transaction, and confirmed only when it has completed. */

import Dexie from 'dexie';
import { bodyHash, sameValue } from '../domain/canonical.ts';
import { kinds } from '../domain/declared.ts';
import { uuid7 } from '../domain/ids.ts';
import type { Entity, Values } from '../domain/kinds.ts';
import { SCHEMA, type Op, type SeenHeads } from '../domain/protocol.ts';
import { validate } from '../domain/validate.ts';
import { announceWrite, clockOffset, current, type Context } from './context.ts';
import { count, show } from './counts.ts';
import { asNotSaved, InvalidValues, isLostConnection, NotSaved } from './errors.ts';
import { toRec, type Rec } from './read.ts';
import { refold } from './refold.ts';
import { reopen } from './open.ts';
import type { DeviceState } from './schema.ts';
import { reportError } from './state.svelte.ts';
import { APP_VERSION } from './version.ts';

/** What an entry says; the rest of the op is added when it is written. */
export interface Draft {
  entity: string;
  rid: string;
  new: boolean;
  set: Record<string, unknown>;
  seen: SeenHeads;
}

async function nextDevice({ db }: Context): Promise<DeviceState> {
  const known = await db.meta.get('device');
  const device: DeviceState =
    known?.key === 'device' ? known : { key: 'device', device_id: uuid7(), n: 0 };
  const next = { ...device, n: device.n + 1 };
  await db.meta.put(next);
  return next;
}

function toOp(draft: Draft, context: Context, device: DeviceState): Op {
  const now = Date.now();
  return {
    op_id: uuid7(now),
    household: context.household,
    device_id: device.device_id,
    n: device.n,
    author: context.member,
    schema: SCHEMA,
    app: APP_VERSION,
    ...draft,
    // A $state proxy cannot be stored; JSON is what travels anyway.
    set: JSON.parse(JSON.stringify(draft.set)) as Op['set'],
    occurred_at: now,
    tz: Intl.DateTimeFormat().resolvedOptions().timeZone,
    offset_ms: Math.round(clockOffset()),
  };
}

/** Adds an op and refolds its record, inside the caller's transaction. */
export async function append(draft: Draft): Promise<Op> {
  const context = current();
  const { db } = context;
  const op = toOp(draft, context, await nextDevice(context));
  await db.ops.add({
    op_id: op.op_id,
    n: op.n,
    rid: op.rid,
    entity: op.entity,
    author: op.author,
    state: 'pending',
    overlay: 1,
    body: op,
    hash: bodyHash(op),
  });
  await refold(db, [op.rid]);
  return op;
}

async function inTransaction<T>(work: () => Promise<T>): Promise<T> {
  const { db } = current();
  // Dexie follows native promises only where the scope itself is an async function.
  return db.transaction(
    'rw',
    [db.meta, db.ops, db.base, db.records, db.lost],
    async () => await work(),
  );
}

/**
 * Runs several writes as one: all of them are on the disk, or none is.
 *
 * Resolves when the transaction has completed. Inside, await nothing but the writes and
 * reads of this store: IndexedDB commits as soon as a transaction has nothing to do.
 */
export async function transact<T>(work: () => Promise<T>): Promise<T> {
  // Inside another write's transaction this one is part of it.
  if (Dexie.currentTransaction) return inTransaction(work);
  try {
    const result = await attempt(work);
    await countAgain();
    announceWrite();
    return result;
  } catch (error) {
    throw asNotSaved(error);
  }
}

/** Before anything is called saved the mark knows of it: it must never say synced meanwhile. */
async function countAgain(): Promise<void> {
  try {
    show(await count(current()));
  } catch (error) {
    // The entry is on the disk all the same; the mark follows the store by itself.
    reportError(error);
  }
}

async function attempt<T>(work: () => Promise<T>): Promise<T> {
  try {
    return await inTransaction(work);
  } catch (error) {
    if (!isLostConnection(error)) throw error;
    // Once: a store that dies twice needs a person.
    if (!(await reopen(current()))) throw new NotSaved('lost', error);
    return inTransaction(work);
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
  rid: string = uuid7(),
): Promise<string> {
  const set = { ...values } as Record<string, unknown>;
  assertValid(entity, set, true);
  await transact(async () => {
    const known = await current().db.records.get(rid);
    if (known?.gone) await bringBack(toRec<E>(known), set);
    else await append({ entity, rid, new: true, set, seen: {} });
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
