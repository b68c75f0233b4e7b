/** Requests that are under way while the reply before them is being stored. */

import { beforeEach, expect, test, vi } from 'vitest';
import type { PushBody } from '../../api/sync.ts';
import { loseReply, ModelServer } from '../../test/model-server.ts';
import { Phone } from '../../test/phone.ts';
import { records } from '../read.ts';
import { create, transact } from '../write.ts';
import { kept } from './queue.ts';

let server: ModelServer;
let phone: Phone;

beforeEach(async () => {
  server = new ModelServer();
  phone = await Phone.open(server);
});

async function dogs(count: number, of: Phone = phone): Promise<void> {
  await of.do(() =>
    transact(async () => {
      for (let i = 0; i < count; i += 1) await create('dog', { name: `Dog ${String(i)}` });
    }),
  );
}

function pushes(): PushBody[] {
  const bodies: PushBody[] = [];
  server.before = (call, body) => {
    if (call === 'push' && body) bodies.push(body);
  };
  return bodies;
}

test('fault_01 many entries without an answer are asked about, not sent again', async () => {
  await dogs(30);
  server.after = loseReply;
  await phone.failToSync();
  expect(new Set(await phone.states())).toEqual(new Set(['sent']));
  server.after = () => undefined;
  const bodies = pushes();
  await phone.sync();
  expect(bodies.map(({ ops, ask }) => [ops.length, ask.length])).toEqual([[0, 30]]);
  expect(server.log).toHaveLength(30);
  expect(new Set(await phone.states())).toEqual(new Set(['applied']));
});

test('fault_01 of those asked about, what the server lacks is sent whole', async () => {
  await dogs(30);
  server.before = (call) => {
    if (call === 'push') loseReply();
  };
  await phone.failToSync();
  const [first] = await phone.ops();
  if (first) server.write(first.body);
  const bodies = pushes();
  await phone.sync();
  expect(bodies.map(({ ops, ask }) => [ops.length, ask.length])).toEqual([
    [0, 30],
    [29, 0],
  ]);
  expect(server.log).toHaveLength(30);
  expect(new Set(await phone.states())).toEqual(new Set(['applied']));
});

test('fault_01 more than can be asked about at once are asked about one request behind the other', async () => {
  await dogs(100);
  await phone.sync();
  phone.memory.limit = 20;
  const ops = await phone.ops();
  await phone.db.ops.bulkPut(ops.map(({ seq, ...op }) => kept({ ...op, state: 'sent' })));
  const written = vi.spyOn(phone.db.records, 'bulkPut');
  const bodies = pushes();
  await phone.sync();
  expect(bodies.map(({ ops: sent, ask }) => [sent.length, ask.length])).toEqual([
    [0, 80],
    [0, 20],
  ]);
  expect(new Set(await phone.states())).toEqual(new Set(['applied']));
  // The server's rows were there already: none of them is written again.
  expect(written.mock.calls.flatMap(([rows]) => rows)).toEqual([]);
});

test('a batch carries the mark of the reply before it, stored or not', async () => {
  await dogs(50);
  phone.memory.limit = 20;
  const bodies = pushes();
  await phone.sync();
  expect(bodies.map(({ ops }) => ops.length)).toEqual([20, 20, 10]);
  const tokens = bodies.map(({ mark }) => mark?.token);
  expect(tokens).toEqual([undefined, server.log[0]?.token, server.log[20]?.token]);
  expect(new Set(await phone.states())).toEqual(new Set(['applied']));
});

test('fault_02 a reply that cannot be stored is dropped with the one after it, and all is resent', async () => {
  await dogs(50);
  phone.memory.limit = 20;
  vi.spyOn(phone.db.ops, 'bulkPut').mockRejectedValueOnce(new Error('disk'));
  expect(await phone.failToSync()).toMatchObject({ message: 'disk' });
  expect(await phone.states()).not.toContain('applied');
  await phone.sync();
  expect(server.log).toHaveLength(50);
  expect(new Set(await phone.states())).toEqual(new Set(['applied']));
});

test('fault_34 a page that cannot be stored is fetched again with the one after it', async () => {
  await dogs(30);
  await phone.sync();
  server.pageSize = 10;
  const fresh = await Phone.open(server);
  vi.spyOn(fresh.db.rows_b, 'bulkPut').mockRejectedValueOnce(new Error('disk'));
  expect(await fresh.failToSync()).toMatchObject({ message: 'disk' });
  expect(await fresh.do(() => records('dog'))).toEqual([]);
  await fresh.sync();
  expect(await fresh.do(() => records('dog'))).toHaveLength(30);
});

test('what was pulled from nothing is shown by every tab, and the old set goes later', async () => {
  await dogs(3);
  await phone.sync();
  const other = await Phone.open(server);
  const tab = await other.restart();
  await tab.sync();
  expect(tab.db.shown).toBe('rows_b');
  await phone.do(() => create('dog', { name: 'Late' }));
  await phone.sync();
  server.role = 'partner';
  await tab.sync();
  expect(tab.db.shown).toBe('rows_a');
  expect(await tab.do(() => records('dog'))).toHaveLength(4);
  expect(await tab.db.hidden.count()).toBe(3);
  await tab.sync();
  expect(await tab.db.hidden.count()).toBe(0);
});

test('an entry made in another tab after the set was changed goes where it is shown', async () => {
  await dogs(3);
  await phone.sync();
  const fresh = await Phone.open(server);
  const tab = fresh.signIn(fresh.context.member);
  const stale = await Phone.open(
    server,
    fresh.context.member,
    fresh.db.name.replace('trencher-', ''),
  );
  await tab.sync();
  expect(stale.db.shown).toBe('rows_a');
  const own = await stale.do(() => create('dog', { name: 'Tansy' }));
  expect(await fresh.value(own, 'name')).toBe('Tansy');
});
