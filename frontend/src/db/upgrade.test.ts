/** A phone that was last opened by an older build must lose nothing, and show what it showed. */

import Dexie from 'dexie';
import { expect, test } from 'vitest';
import { uuid7 } from '../domain/ids.ts';
import type { Op, Row } from '../domain/protocol.ts';
import { ModelServer } from '../test/model-server.ts';
import { CALLUM, HOUSEHOLD, INES, Phone } from '../test/phone.ts';
import { count } from './counts.ts';
import { records } from './read.ts';
import { GENERATION } from './schema.ts';
import { create } from './write.ts';

const DEVICE = uuid7();

function opOf(n: number, draft: Pick<Op, 'rid' | 'new' | 'set' | 'seen'>): Op {
  return {
    op_id: uuid7(),
    household: HOUSEHOLD,
    device_id: DEVICE,
    n,
    author: INES,
    schema: 1,
    app: 'phone 0.1.0',
    entity: 'dog',
    occurred_at: 1_795_000_000_000 + n,
    tz: 'Europe/London',
    offset_ms: 0,
    ...draft,
  };
}

/** The first version's stores, with what that build would have written. */
async function oldDatabase(name: string, fill: (db: Dexie) => Promise<unknown>): Promise<void> {
  const db = new Dexie(name);
  db.version(1).stores({
    base: 'rid',
    fresh: 'rid',
    records: 'rid, [entity+live], [entity+owner], [entity+day], [entity+at], [owner+live], clash',
    ops: 'op_id, state, [author+state], surprise, [overlay+rid]',
    lost: 'rid',
    meta: 'key',
  });
  await db.open();
  await db.table('meta').bulkPut([
    { key: 'device', device_id: DEVICE, n: 3 },
    { key: 'generation', value: 1 },
  ]);
  await fill(db);
  db.close();
}

function storedOp(body: Op, state: string, overlay: 0 | 1, more: object = {}): object {
  const { op_id, n, rid, entity, author } = body;
  return { op_id, n, rid, entity, author, state, overlay, body, hash: 'x', ...more };
}

function shownRow(row: Row, pending: boolean): object {
  return { ...row, live: 1, pending };
}

/** Morag was pulled and renamed since; Tansy was made here; Pascoe was refused. */
async function household(server: ModelServer, name: string): Promise<Record<string, string>> {
  const made = opOf(1, { rid: uuid7(), new: true, set: { name: 'Morag' }, seen: {} });
  server.write(made);
  const [morag] = server.rows();
  if (!morag) throw new Error('no row');
  const renamed = opOf(2, {
    rid: morag.rid,
    new: false,
    set: { name: 'Morag of Larch Row' },
    seen: { name: [made.op_id] },
  });
  const tansy = opOf(3, { rid: uuid7(), new: true, set: { name: 'Tansy' }, seen: {} });
  const refused = opOf(4, { rid: uuid7(), new: true, set: { name: '' }, seen: {} });
  const tansyRow = { ...morag, rid: tansy.rid, op: tansy.op_id, values: tansy.set, heads: {} };
  const renamedRow = { ...morag, op: renamed.op_id, values: renamed.set };
  await oldDatabase(name, async (db) => {
    await db.table('base').put(morag);
    await db.table('records').bulkPut([shownRow(renamedRow, true), shownRow(tansyRow, true)]);
    await db.table('ops').bulkPut([
      storedOp(made, 'applied', 0, { seq: morag.seq }),
      storedOp(renamed, 'pending', 1),
      storedOp(tansy, 'sent', 1),
      storedOp(refused, 'rejected', 0, {
        refusal: { code: 'invalid', message: '', fields: null },
      }),
    ]);
    await db.table('meta').put({
      key: 'sync',
      mark: server.mark(),
      cursor: morag.seq,
      covered: morag.seq,
      filling: false,
      reason: null,
      completed_at: 1,
    });
  });
  return { morag: morag.rid, tansy: tansy.rid };
}

test('fault_24 a store of the first version opens with all that it showed and has to send', async () => {
  const server = new ModelServer();
  const name = uuid7();
  const { morag, tansy } = await household(server, `trencher-${name}`);
  const phone = await Phone.open(server, INES, name);
  const dogs = await phone.do(() => records('dog'));
  expect(dogs.map((dog) => dog.values.name).sort()).toEqual(['Morag of Larch Row', 'Tansy']);
  expect(dogs.every((dog) => dog.pending)).toBe(true);
  expect(await count(phone.context)).toMatchObject({ waiting: 2, refused: 1, held: 0 });
  expect(await phone.states()).toEqual(['applied', 'pending', 'sent', 'rejected']);
  await phone.sync();
  expect(await phone.states()).toEqual(['applied', 'applied', 'applied', 'rejected']);
  expect(await phone.value(morag ?? '', 'name')).toBe('Morag of Larch Row');
  const rows = new Map(server.rows().map((row) => [row.rid, row.values['name']]));
  expect([rows.get(morag ?? ''), rows.get(tansy ?? '')]).toEqual(['Morag of Larch Row', 'Tansy']);
  expect(await phone.db.records.orderBy('over').count()).toBe(0);
  const known = await phone.db.meta.get('generation');
  expect(known).toMatchObject({ value: GENERATION });
});

test('fault_24 entries of another member of the older build’s phone are still held', async () => {
  const server = new ModelServer();
  const name = uuid7();
  await household(server, `trencher-${name}`);
  const callum = await Phone.open(server, CALLUM, name);
  expect(await count(callum.context)).toMatchObject({ waiting: 2, held: 2 });
  await callum.sync();
  expect(server.log).toHaveLength(1);
});

test('fault_24 a first sync that the older build had half done begins again', async () => {
  const server = new ModelServer();
  const ines = await Phone.open(server);
  for (const dog of ['Morag', 'Tansy']) await ines.do(() => create('dog', { name: dog }));
  await ines.sync();
  const name = uuid7();
  const [first] = server.rows();
  await oldDatabase(`trencher-${name}`, async (db) => {
    await db.table('fresh').put(first);
    const mark = { ...server.mark(), seq: first?.seq, token: server.log[0]?.token };
    const sync = { key: 'sync', mark, cursor: first?.seq, covered: 0, filling: true };
    await db.table('meta').put({ ...sync, reason: null, completed_at: null });
  });
  const phone = await Phone.open(server, INES, name);
  await phone.sync();
  expect(await phone.db.records.count()).toBe(2);
});
