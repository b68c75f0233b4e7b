/** What must hold once everything is mended, delivered and sent. */

import { expect } from 'vitest';
import { kinds } from '../../domain/declared.ts';
import { headEntries } from '../../domain/fold.ts';
import { stockOf, type LedgerCount, type LedgerMovement } from '../../domain/ledger.ts';
import type { Row } from '../../domain/protocol.ts';
import { conflicts, toRec, type Rec } from '../read.ts';
import type { StoredRecord } from '../schema.ts';
import { submitHeld } from '../tray.ts';
import { distinctValues, headsByLog, settle, type Holder, type World } from './world.ts';

/** With three phones each needs to hear of what the last one sent; a fourth round must find nothing. */
const ROUNDS = 4;

/** Heals everything, delivers what is late, and lets every phone send and fetch until nothing is left. */
export async function drain(world: World): Promise<void> {
  const { server } = world;
  server.schema = 1;
  server.removedMembers.clear();
  while (world.mail.length > 0) await world.deliver(0);
  for (const holder of world.holders) {
    await Promise.all(holder.rounds);
    await world.restart(holder, holder.member);
  }
  for (let round = 0; round < ROUNDS; round += 1) {
    for (const holder of world.holders) {
      world.tick(holder);
      await holder.phone.do(submitHeld);
      await world.sync(holder);
      await settle();
    }
  }
}

export async function check(world: World): Promise<void> {
  checkLog(world);
  await checkConfirmed(world);
  for (const holder of world.holders) {
    await checkQueue(holder);
    await checkNumbers(holder);
    await checkReplica(world, holder);
    await checkListed(world, holder);
    await checkLedger(world, holder);
  }
  if (!world.mayHaveLost) checkSeen(world);
}

function checkLog({ server }: World): void {
  const ids = server.log.map(({ op }) => op.op_id);
  expect(new Set(ids).size, 'op ids are unique').toBe(ids.length);
  const seqs = server.log.map(({ seq }) => seq);
  expect(new Set(seqs).size, 'every entry has a seq of its own').toBe(seqs.length);
}

/** Every op that was called saved is in the log or in a tray, never in both as if it were two. */
async function checkConfirmed(world: World): Promise<void> {
  const log = new Map(world.server.log.map((entry) => [entry.op.op_id, entry.result.status]));
  for (const [index, holder] of world.holders.entries()) {
    const own = new Map((await holder.phone.ops()).map((op) => [op.op_id, op]));
    for (const [op_id, confirmed] of world.confirmed) {
      if (confirmed.holder !== index) continue;
      const kept = own.get(op_id);
      const isInForce = log.get(op_id) === 'applied';
      const where = `${confirmed.op.entity} ${op_id}: ${String(kept?.state)}, log ${String(log.get(op_id))}`;
      expect(kept, `kept on its phone: ${where}`).toBeDefined();
      if (kept?.state === 'applied')
        expect(isInForce, `applied means in the log: ${where}`).toBe(true);
      const isClosed =
        kept?.state === 'rejected' || (kept?.state === 'discarded' && !kept.replaced_by);
      if (isClosed) expect(isInForce, `in a tray means not in force: ${where}`).toBe(false);
    }
  }
}

/** Only what waits for a record that really is missing may be left. */
async function checkQueue({ phone }: Holder): Promise<void> {
  const there = new Set(phone.server.rows().map((row) => row.rid));
  for (const op of await phone.ops()) {
    if (op.state === 'wait')
      expect(there.has(op.waits_for ?? ''), 'waits without need').toBe(false);
    else
      expect(['applied', 'rejected', 'discarded'], `${op.entity} ${op.op_id}`).toContain(op.state);
  }
}

/** The numbers of a device have no hole, up to the last one it gave. */
async function checkNumbers({ phone }: Holder): Promise<void> {
  const device = await phone.db.meta.get('device');
  if (device?.key !== 'device') throw new Error('The phone has no device.');
  const own = (await phone.ops()).filter((op) => op.body.device_id === device.device_id);
  const numbers = own.map((op) => op.body.n).sort((a, b) => a - b);
  expect(numbers, 'no hole in n').toEqual(Array.from({ length: device.n }, (_, at) => at + 1));
}

/** A sum that any change to a record or to what belongs to it changes. */
export function everythingOf(rec: Rec, children: readonly Rec[]): unknown {
  const all = children.map(({ rid, values, also }) => ({ rid, values, also }));
  return { values: rec.values, all: all.sort((a, b) => (a.rid < b.rid ? -1 : 1)) };
}

/** What was carried forward is right whenever it is there. */
export async function checkCarried({ phone }: Holder): Promise<void> {
  const rows = await phone.db.records.toArray();
  for (const row of rows.filter(({ carried }) => carried !== undefined)) {
    const children = rows.filter(({ owner, live }) => owner === row.rid && live === 1);
    const found = everythingOf(toRec(row), children.map(toRec));
    expect(row.carried, `carried of ${row.entity} ${row.rid}`).toEqual(found);
  }
}

function essence(row: Row): unknown {
  const heads = Object.fromEntries(
    Object.keys(row.values)
      .sort()
      .map((name) => [
        name,
        headEntries(row, name)
          .map(([op]) => op)
          .sort(),
      ]),
  );
  const { rid, entity, owner, values, gone, flags } = row;
  return { rid, entity, owner, values, gone, flags, heads };
}

/** What a phone shows is what the server has and its role may see, but for what waits. */
async function checkReplica({ server }: World, { phone }: Holder): Promise<void> {
  const shown = (await phone.db.records.toArray()).filter((row) => !row.pending);
  const waits = new Set(
    (await phone.db.records.toArray()).filter((row) => row.pending).map((row) => row.rid),
  );
  const wanted = server
    .visibleRows(server.roleOf(phone.context.member))
    .filter((row) => !waits.has(row.rid));
  const byRid = (a: Row, b: Row): number => (a.rid < b.rid ? -1 : 1);
  expect(shown.sort(byRid).map(essence)).toEqual(wanted.sort(byRid).map(essence));
}

/** Every disagreement that the log holds is put to whoever may settle it. */
async function checkListed({ server }: World, { phone }: Holder): Promise<void> {
  const role = server.roleOf(phone.context.member);
  const listed = new Map((await phone.do(conflicts)).map((rec) => [rec.rid, rec]));
  for (const row of server.visibleRows(role)) {
    if (row.gone || !kinds[row.entity]?.write.includes(role)) continue;
    for (const register of Object.keys(row.values)) {
      const values = distinctValues(headsByLog(server, row.rid, register), register);
      const asked = listed.get(row.rid)?.also[register] ?? [];
      if (values.length > 1) expect(asked, `${row.entity} ${register}`).toHaveLength(values.length);
    }
  }
}

/** An op that had really been seen, itself or through others, stands beside none that had seen it. */
function checkSeen(world: World): void {
  const saw = (id: string, register: string, known = new Set<string>()): Set<string> => {
    for (const seen of world.confirmed.get(id)?.saw[register] ?? []) {
      if (known.has(seen)) continue;
      known.add(seen);
      saw(seen, register, known);
    }
    return known;
  };
  for (const row of world.server.rows()) {
    for (const register of Object.keys(row.values)) {
      const heads = headEntries(row, register).map(([op]) => op);
      for (const head of heads) {
        const older = saw(head, register);
        const beside = heads.filter((other) => other !== head && older.has(other));
        expect(beside, `${row.entity} ${register}: ${head} had seen these`).toEqual([]);
      }
    }
  }
}

function isOf<T>(
  rows: readonly StoredRecord[],
  entity: string,
  lot: string,
): (T & { rid: string })[] {
  return rows
    .filter((row) => row.entity === entity && row.live === 1 && row.values['of'] === lot)
    .map((row) => ({ ...(row.values as T), rid: row.rid }));
}

/** The stock on a phone is what the log's own entries add up to, reckoned another way. */
async function checkLedger({ server }: World, { phone }: Holder): Promise<void> {
  const rows = await phone.db.records.toArray();
  if (rows.some((row) => row.pending)) return;
  const live = server.rows().filter((row) => !row.gone);
  for (const lot of live.filter((row) => row.entity === 'lot')) {
    if (!rows.some((row) => row.rid === lot.rid)) continue;
    const counts = isOf<LedgerCount>(rows, 'count', lot.rid);
    const stock = stockOf(isOf<LedgerMovement>(rows, 'movement', lot.rid), counts);
    const possible = stocksByLog(live, lot.rid);
    expect(possible, `stock of ${lot.rid}`).toContain(stock.mass_g);
    expect(stock.has_rivals, 'rival counts are said').toBe(possible.length > 1);
  }
}

const EFFECTS: Readonly<Record<string, number>> = { stored: 1, used: -1, discarded: -1, thawed: 0 };

/** One sum for every count that no other count knew; without counts one over all movements. */
function stocksByLog(live: readonly Row[], lot: string): number[] {
  const of = live.filter((row) => row.values['of'] === lot);
  const moves = of.filter((row) => row.entity === 'movement');
  const counts = of.filter((row) => row.entity === 'count');
  const effect = ({ values }: Row): number =>
    (EFFECTS[String(values['what'])] ?? 0) * Number(values['mass_g']);
  const sum = (rows: readonly Row[]): number => rows.reduce((all, row) => all + effect(row), 0);
  if (counts.length === 0) return [sum(moves)];
  const knew = (row: Row): string[] => row.values['knew'] as string[];
  const open = counts.filter((count) => !counts.some((other) => knew(other).includes(count.rid)));
  return open.map((count) => {
    const later = moves.filter((move) => !knew(count).includes(move.rid));
    return Number(count.values['counted_g']) + sum(later);
  });
}
