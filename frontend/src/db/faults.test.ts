/** What must not go wrong, whatever the network, the other phones and the clocks do. */

import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import { NoAnswer, ApiError } from '../api/client.ts';
import { stockOf, type LedgerCount, type LedgerMovement } from '../domain/ledger.ts';
import { uuid7 } from '../domain/ids.ts';
import { loseReply, ModelServer } from '../test/model-server.ts';
import { CALLUM, INES, Phone } from '../test/phone.ts';
import { exportOps, importOps } from './backup.ts';
import { count } from './counts.ts';
import { outlived, removeWhole, restoreAll } from './outlived.ts';
import { conflicts, record, records, type Rec } from './read.ts';
import { readSender, send } from './sync/push.ts';
import { Queue } from './sync/queue.ts';
import { discard, losses, putBack, refused, resend, submitHeld, waiting } from './tray.ts';
import { create, edit, remove, resolve, restore, transact } from './write.ts';

const AT = '2026-11-25T06:30:00Z';
let server: ModelServer;

beforeEach(() => {
  server = new ModelServer();
});

afterEach(() => {
  vi.useRealTimers();
});

async function pair(): Promise<[Phone, Phone]> {
  return [await Phone.open(server, INES), await Phone.open(server, CALLUM)];
}

async function rec<E extends Parameters<typeof record>[0]>(
  phone: Phone,
  entity: E,
  rid: string,
): Promise<Rec<E>> {
  const found = await phone.do(() => record(entity, rid));
  if (!found) throw new Error(`${entity} ${rid} is not on this phone`);
  return found;
}

async function sharedDog(...phones: Phone[]): Promise<string> {
  const [first] = phones;
  if (!first) throw new Error('a phone is needed');
  const rid = await first.do(() => create('dog', { name: 'Morag' }));
  for (const phone of phones) await phone.sync();
  return rid;
}

async function rename(phone: Phone, dog: string, name: string): Promise<void> {
  const seen = await rec(phone, 'dog', dog);
  await phone.do(() => edit(seen, { name }));
}

test('fault_01 a lost reply has one effect', async () => {
  const phone = await Phone.open(server);
  const dog = await phone.do(() => create('dog', { name: 'Morag' }));
  server.after = () => loseReply();
  expect(await phone.failToSync()).toBeInstanceOf(NoAnswer);
  expect(await phone.states()).toEqual(['sent']);
  server.after = () => undefined;
  await phone.sync();
  expect(server.log).toHaveLength(1);
  expect(await phone.states()).toEqual(['applied']);
  expect(await phone.value(dog, 'name')).toBe('Morag');
});

test('fault_02 record and op are written both or not at all', async () => {
  const phone = await Phone.open(server);
  vi.spyOn(phone.db.records, 'bulkPut').mockRejectedValueOnce(new Error('disk'));
  await expect(phone.do(() => create('dog', { name: 'Morag' }))).rejects.toThrow('Not saved');
  expect(await phone.db.ops.count()).toBe(0);
  expect(await phone.db.records.count()).toBe(0);
  const device = await phone.db.meta.get('device');
  expect(device).toMatchObject({ n: 0 });
});

test('fault_02 several writes in one transaction are all or none', async () => {
  const phone = await Phone.open(server);
  const write = phone.do(() =>
    transact(async () => {
      await create('dog', { name: 'Morag' });
      await create('dog', { name: '' });
    }),
  );
  await expect(write).rejects.toThrow('Name');
  expect(await phone.db.records.count()).toBe(0);
});

test('fault_03 what was confirmed is there after the page is killed', async () => {
  const phone = await Phone.open(server);
  const dog = await phone.do(() => create('dog', { name: 'Morag' }));
  const again = await phone.restart();
  expect(await again.value(dog, 'name')).toBe('Morag');
  expect(await again.states()).toEqual(['pending']);
});

test('fault_06 two tabs push at once without locks', async () => {
  const phone = await Phone.open(server);
  const other = phone.signIn(INES);
  for (let i = 0; i < 5; i += 1) await phone.do(() => create('dog', { name: `Dog ${String(i)}` }));
  await Promise.all([phone.sync(), other.sync()]);
  await phone.sync();
  expect(server.log).toHaveLength(5);
  expect(new Set(await phone.states())).toEqual(new Set(['applied']));
  expect(await phone.db.records.count()).toBe(5);
  expect(await phone.db.base.count()).toBe(0);
});

test('fault_08 the own entry stays on screen between pages, once', async () => {
  server.pageSize = 1;
  const [ines, callum] = await pair();
  const dog = await sharedDog(ines, callum);
  await rename(ines, dog, 'Morag B');
  await ines.sync();
  expect(await ines.value(dog, 'name')).toBe('Morag B');
  expect(await ines.db.records.orderBy('over').count()).toBe(0);
  expect(await ines.db.base.count()).toBe(0);
});

test('fault_09 one invalid op in a batch: the others apply, it goes to the tray', async () => {
  const phone = await Phone.open(server);
  const good = await phone.do(() => create('dog', { name: 'Pascoe' }));
  const bad = await phone.do(() => create('dog', { name: 'Tansy' }));
  await phone.db.ops
    .filter((op) => op.rid === bad)
    .modify((op) => {
      op.body.set['name'] = '';
    });
  await phone.sync();
  expect(await phone.states()).toEqual(['applied', 'rejected']);
  expect(await phone.value(good, 'name')).toBe('Pascoe');
  const [entry] = await phone.do(() => refused());
  expect(entry).toMatchObject({ kind: 'dog', verb: 'added', refusal: { code: 'invalid' } });
});

test('fault_10 one op that always breaks the server is isolated', async () => {
  const phone = await Phone.open(server);
  const rids: string[] = [];
  for (let i = 0; i < 20; i += 1) {
    rids.push(await phone.do(() => create('dog', { name: `Dog ${String(i)}` })));
  }
  const poison = rids[7];
  server.before = (_call, body) => {
    if (body?.ops.some((op) => op.rid === poison)) throw new ApiError(500, 'server_error', 'no');
  };
  for (let i = 0; i < 3; i += 1) await phone.sync();
  expect(server.log).toHaveLength(19);
  const left = (await phone.ops()).filter((op) => op.state !== 'applied');
  expect(left.map((op) => op.rid)).toEqual([poison]);
  server.before = () => undefined;
  await phone.sync();
  expect(server.log).toHaveLength(20);
});

test('fault_11 a clock years ahead decides display only', async () => {
  const [ines, callum] = await pair();
  const dog = await sharedDog(ines, callum);
  vi.useFakeTimers({ toFake: ['Date'], now: Date.now() + 3 * 365 * 24 * 3600 * 1000 });
  const real = Date.now() - 3 * 365 * 24 * 3600 * 1000;
  server.now = () => real;
  await rename(ines, dog, 'Ahead');
  vi.useRealTimers();
  server.now = () => Date.now();
  await ines.sync();
  await callum.sync();
  expect((await callum.shown(dog))?.flags).toContain('clock_ahead');
  await rename(callum, dog, 'Later');
  await callum.sync();
  await ines.sync();
  expect(await ines.value(dog, 'name')).toBe('Later');
  expect((await ines.shown(dog))?.clash).toBeUndefined();
});

test('fault_12 a clock days behind: an edit of what was seen wins', async () => {
  const [ines, callum] = await pair();
  const dog = await sharedDog(ines, callum);
  vi.useFakeTimers({ toFake: ['Date'], now: Date.now() - 3 * 24 * 3600 * 1000 });
  await rename(callum, dog, 'Slow clock');
  vi.useRealTimers();
  await callum.sync();
  await ines.sync();
  expect(await ines.value(dog, 'name')).toBe('Slow clock');
});

test('fault_13 the clock jumps back: entry allowed, the later edit wins', async () => {
  const phone = await Phone.open(server);
  const dog = await sharedDog(phone);
  await rename(phone, dog, 'First');
  vi.useFakeTimers({ toFake: ['Date'], now: Date.now() - 3600_000 });
  await rename(phone, dog, 'Second');
  vi.useRealTimers();
  expect(await phone.value(dog, 'name')).toBe('Second');
  await phone.sync();
  expect(await phone.value(dog, 'name')).toBe('Second');
  expect((await phone.shown(dog))?.clash).toBeUndefined();
});

test('fault_14 several offline edits against one make one conflict, settled by a person', async () => {
  const [ines, callum] = await pair();
  const dog = await sharedDog(ines, callum);
  for (const name of ['A', 'B', 'C', 'D']) await rename(ines, dog, name);
  await rename(callum, dog, 'Z');
  await callum.sync();
  await ines.sync();
  await callum.sync();
  for (const phone of [ines, callum]) {
    const [clash] = await phone.do(() => conflicts());
    expect(clash?.also['name']?.map((each) => each.value).sort()).toEqual(['D', 'Z']);
  }
  const [clash] = await ines.do(() => conflicts());
  await ines.do(() => resolve(clash as Rec<'dog'>, 'name', 'Z'));
  await ines.sync();
  await callum.sync();
  expect(await callum.value(dog, 'name')).toBe('Z');
  expect(await callum.do(() => conflicts())).toEqual([]);
});

test('fault_14 the first of two edits is refused: the chain holds, no false conflict', async () => {
  const phone = await Phone.open(server);
  const dog = await sharedDog(phone);
  await rename(phone, dog, 'Too long');
  await rename(phone, dog, 'Right');
  const [, first] = await phone.ops();
  await phone.db.ops.update(first?.op_id ?? '', { 'body.set': { name: 'x'.repeat(61) } });
  await phone.sync();
  expect(await phone.states()).toEqual(['applied', 'rejected', 'applied']);
  expect(await phone.value(dog, 'name')).toBe('Right');
  expect((await phone.shown(dog))?.clash).toBeUndefined();
});

test('fault_15 different registers of a record are both kept', async () => {
  const [ines, callum] = await pair();
  const dog = await sharedDog(ines, callum);
  await rename(ines, dog, 'Morag B');
  const seen = await rec(callum, 'dog', dog);
  await callum.do(() => edit(seen, { breed: 'standard schnauzer' }));
  await ines.sync();
  await callum.sync();
  await ines.sync();
  expect((await ines.shown(dog))?.values).toEqual({ name: 'Morag B', breed: 'standard schnauzer' });
});

test('fault_16 an unseen edit or child keeps a deleted record alive, flagged', async () => {
  const [ines, callum] = await pair();
  const dog = await sharedDog(ines, callum);
  const seen = await rec(ines, 'dog', dog);
  await ines.do(() => remove(seen));
  expect((await ines.shown(dog))?.live).toBe(0);
  await callum.do(() => create('weighing', { dog, at: AT, mass_g: 7900 }));
  await callum.sync();
  await ines.sync();
  expect((await ines.shown(dog))?.flags).toContain('deleted_but_has_children');
  expect((await ines.shown(dog))?.live).toBe(1);
});

/** Ines deletes a dog that Callum renames meanwhile; both phones know of both. */
async function deletedAndRenamed(): Promise<{ ines: Phone; callum: Phone; dog: string }> {
  const [ines, callum] = await pair();
  const dog = await sharedDog(ines, callum);
  const seen = await rec(ines, 'dog', dog);
  await ines.do(() => remove(seen));
  await rename(callum, dog, 'Morag B');
  for (const phone of [callum, ines, callum]) await phone.sync();
  return { ines, callum, dog };
}

test('fault_16 what outlived its deletion asks a person on every phone', async () => {
  const { ines, callum, dog } = await deletedAndRenamed();
  for (const phone of [ines, callum]) {
    expect(await count(phone.context)).toMatchObject({ conflicts: 1 });
    const [found] = await phone.do(() => outlived());
    expect(found).toMatchObject({ rec: { rid: dog }, dependants: 0 });
    expect(found?.deleted.by).toBe(INES);
    expect(found?.changed?.by).toBe(CALLUM);
    expect(await phone.do(() => conflicts())).toEqual([]);
  }
});

test('fault_16 taken away after all it is gone, undone it is back, and nobody is asked', async () => {
  const { ines, callum, dog } = await deletedAndRenamed();
  const gone = await ines.do(() => removeWhole(dog));
  for (const phone of [ines, callum]) await phone.sync();
  expect((await callum.shown(dog))?.live).toBe(0);
  expect(await count(callum.context)).toMatchObject({ conflicts: 0 });
  await ines.do(() => restoreAll(gone));
  for (const phone of [ines, callum]) await phone.sync();
  expect((await callum.shown(dog))?.live).toBe(1);
  expect(await count(callum.context)).toMatchObject({ conflicts: 0 });
  expect(await callum.value(dog, 'name')).toBe('Morag B');
});

test('fault_16 kept after all nobody is asked again', async () => {
  const { ines, callum, dog } = await deletedAndRenamed();
  const seen = await rec(callum, 'dog', dog);
  await callum.do(() => restore(seen));
  for (const phone of [callum, ines]) await phone.sync();
  for (const phone of [ines, callum]) {
    expect((await phone.shown(dog))?.flags).toEqual([]);
    expect(await count(phone.context)).toMatchObject({ conflicts: 0 });
  }
});

test('fault_16 what belongs to a record goes with it, and is asked about once', async () => {
  const [ines, callum] = await pair();
  const dog = await sharedDog(ines, callum);
  const seen = await rec(ines, 'dog', dog);
  await ines.do(() => remove(seen));
  const weighing = await callum.do(() => create('weighing', { dog, at: AT, mass_g: 7900 }));
  for (const phone of [callum, ines]) await phone.sync();
  const [found, ...others] = await ines.do(() => outlived());
  expect(others).toEqual([]);
  expect(found).toMatchObject({ rec: { rid: dog }, changed: null, dependants: 1 });
  await ines.do(() => removeWhole(dog));
  for (const phone of [ines, callum]) await phone.sync();
  for (const rid of [dog, weighing]) expect((await callum.shown(rid))?.live).toBe(0);
  expect(await count(callum.context)).toMatchObject({ conflicts: 0 });
});

test('fault_16 nobody is asked who could not answer', async () => {
  const { ines } = await deletedAndRenamed();
  expect(await count({ ...ines.context, role: 'sitter' })).toMatchObject({ conflicts: 0 });
});

test('fault_17 movements in any order, repeated, add up exactly', () => {
  const movements: LedgerMovement[] = [
    { rid: 'a', what: 'stored', mass_g: 5000 },
    { rid: 'b', what: 'used', mass_g: 1234 },
    { rid: 'c', what: 'thawed', mass_g: 900 },
    { rid: 'd', what: 'discarded', mass_g: 66 },
  ];
  expect(stockOf(movements, []).mass_g).toBe(3700);
  expect(stockOf([...movements].reverse(), []).mass_g).toBe(3700);
});

test('fault_17 a movement sent twice counts once', async () => {
  const phone = await Phone.open(server);
  const lot = await phone.do(() => create('lot', { food: 'usda-05027', pack_mass_g: 500 }));
  await phone.do(() => create('movement', { of: lot, what: 'stored', mass_g: 1000, at: AT }));
  server.after = () => loseReply();
  await phone.failToSync();
  server.after = () => undefined;
  await phone.sync();
  await phone.sync();
  const movements = await phone.do(() => records('movement', { owner: lot }));
  expect(movements.map((each) => each.values.mass_g)).toEqual([1000]);
});

test('fault_18 a count beside a movement: both count; two counts: one holds, flagged', () => {
  const movements: LedgerMovement[] = [
    { rid: 'a', what: 'stored', mass_g: 1000 },
    { rid: 'b', what: 'used', mass_g: 300 },
  ];
  const first: LedgerCount = { rid: 'c', counted_g: 700, knew: ['a'], at: AT };
  expect(stockOf(movements, [first])).toEqual({ mass_g: 400, count: 'c', has_rivals: false });
  const rival = {
    ...first,
    rid: 'd',
    counted_g: 650,
    knew: ['a', 'b'],
    at: '2026-11-25T07:00:00Z',
  };
  expect(stockOf(movements, [first, rival])).toEqual({ mass_g: 650, count: 'd', has_rivals: true });
  const settled = { ...rival, rid: 'e', counted_g: 640, knew: ['a', 'b', 'c', 'd'] };
  const stock = stockOf(movements, [first, rival, settled]);
  expect(stock).toEqual({ mass_g: 640, count: 'e', has_rivals: false });
});

test('fault_19 an op id used for another body is refused and kept', async () => {
  const phone = await Phone.open(server);
  await phone.do(() => create('dog', { name: 'Morag' }));
  const [op] = await phone.ops();
  if (op) server.write({ ...op.body, set: { name: 'Somebody else' } });
  await phone.sync();
  const [entry] = await phone.do(() => refused());
  expect(entry?.refusal?.code).toBe('op_id_reused');
  await phone.sync();
  expect(await phone.states()).toEqual(['rejected']);
});

test('fault_20 a refused parent corrected: the child waits, then applies', async () => {
  const phone = await Phone.open(server);
  const dog = await phone.do(() => create('dog', { name: 'Morag' }));
  await phone.do(() => create('weighing', { dog, at: AT, mass_g: 7900 }));
  const [made] = await phone.ops();
  await phone.db.ops.update(made?.op_id ?? '', { 'body.set': { name: '' } });
  await phone.sync();
  expect(await phone.states()).toEqual(['rejected', 'wait']);
  const [entry] = await phone.do(() => refused());
  if (entry) await phone.do(() => resend(entry, { name: 'Morag' }));
  await phone.sync();
  await phone.sync();
  expect(await phone.states()).toEqual(['discarded', 'applied', 'applied']);
  expect(await phone.do(() => waiting())).toEqual([]);
});

test('fault_20 a refused parent dropped takes along what waits on it', async () => {
  const phone = await Phone.open(server);
  const dog = await phone.do(() => create('dog', { name: 'Morag' }));
  await phone.do(() => create('weighing', { dog, at: AT, mass_g: 7900 }));
  const [made] = await phone.ops();
  await phone.db.ops.update(made?.op_id ?? '', { 'body.set': { name: '' } });
  await phone.sync();
  const [entry] = await phone.do(() => refused());
  if (entry) await phone.do(() => discard(entry));
  expect(await phone.states()).toEqual(['discarded', 'discarded']);
  expect(await phone.db.records.count()).toBe(0);
});

test('an entry dropped while its batch was being put together is not sent', async () => {
  const phone = await Phone.open(server);
  // Only what the server refused or lacks a record for can be dropped at all.
  await phone.do(() => create('weighing', { dog: uuid7(), at: AT, mass_g: 7900 }));
  await phone.sync();
  const batch = await new Queue(phone.context).next(500, 1e6);
  const [entry] = await phone.do(() => waiting());
  expect([batch[0]?.op_id, batch[0]?.state]).toEqual([entry?.op_id, 'wait']);
  if (entry) await phone.do(() => discard(entry));
  const before = server.requests;
  expect(await send(phone.context, server, await readSender(phone.context), batch, [])).toBe(
    'nothing',
  );
  expect(server.requests).toBe(before);
});

test('fault_21 no session: the queue stays whole and goes on after signing in', async () => {
  const phone = await Phone.open(server);
  await phone.do(() => create('dog', { name: 'Morag' }));
  server.signedIn = false;
  expect(await phone.failToSync()).toMatchObject({ code: 'not_authenticated' });
  server.signedIn = true;
  await phone.sync();
  expect(await phone.states()).toEqual(['applied']);
});

test('fault_22 entries of another member are held, never sent in the wrong name', async () => {
  const ines = await Phone.open(server, INES);
  await ines.do(() => create('dog', { name: 'Morag' }));
  const callum = ines.signIn(CALLUM);
  await callum.do(() => create('dog', { name: 'Pascoe' }));
  await callum.sync();
  expect(server.log.map((entry) => entry.op.author)).toEqual([CALLUM]);
  expect(await count(callum.context)).toMatchObject({ waiting: 1, held: 1 });
  const [entry] = await callum.do(() => waiting());
  expect(entry).toMatchObject({ held: true, author: INES });
  await callum.do(() => submitHeld());
  await callum.sync();
  expect(server.log.map((each) => each.op.author)).toEqual([CALLUM, INES]);
  expect((await callum.ops())[0]).toMatchObject({ submitted_by: CALLUM });
});

test('fault_22 what another member had sent is not held when all is sent again', async () => {
  const callum = await Phone.open(server, CALLUM);
  await callum.do(() => create('dog', { name: 'Pascoe' }));
  await callum.sync();
  const ines = callum.signIn(INES);
  server.role = 'partner';
  await ines.sync();
  expect(await count(ines.context)).toMatchObject({ waiting: 0, held: 0 });
  expect(server.log.map((entry) => entry.op.author)).toEqual([CALLUM]);
  expect(await ines.states()).toEqual(['applied']);
});

test('fault_25 a server rolled back below our schema refuses nothing', async () => {
  const phone = await Phone.open(server);
  await phone.do(() => create('dog', { name: 'Morag' }));
  server.schema = 0;
  expect(await phone.failToSync()).toMatchObject({ status: 426 });
  expect(await phone.do(() => refused())).toEqual([]);
  server.schema = 1;
  await phone.sync();
  expect(await phone.states()).toEqual(['applied']);
});

test('fault_26 an unknown entity and an unknown register are kept as they came', async () => {
  const phone = await Phone.open(server);
  const dog = await sharedDog(phone);
  const [made] = await phone.ops();
  if (!made) throw new Error('no op');
  const strange = uuid7();
  const base = { ...made.body, seen: {}, author: CALLUM };
  server.write({ ...base, op_id: uuid7(), entity: 'collar', rid: strange, set: { hue: [1, 2] } });
  server.log.push({
    ...(server.log[0] as (typeof server.log)[0]),
    op: { ...base, op_id: uuid7(), new: false, set: { microchip: '900' } },
    seq: (server.seq += 1),
  });
  await phone.sync();
  expect((await phone.shown(strange))?.values).toEqual({ hue: [1, 2] });
  expect(await phone.value(dog, 'microchip')).toBe('900');
  const seen = await rec(phone, 'dog', dog);
  await phone.do(() => remove(seen));
  const last = (await phone.ops()).at(-1);
  expect(Object.keys(last?.body.seen ?? {}).sort()).toEqual(['microchip', 'name']);
});

test('fault_32 after a restore own entries go up again and the screen is as before', async () => {
  const [ines, callum] = await pair();
  const dog = await sharedDog(ines, callum);
  const backup = server.backup();
  await rename(ines, dog, 'After the backup');
  await ines.sync();
  await callum.sync();
  server.restore(backup);
  expect(await ines.value(dog, 'name')).toBe('After the backup');
  await ines.sync();
  await callum.sync();
  expect(await ines.value(dog, 'name')).toBe('After the backup');
  expect(await callum.value(dog, 'name')).toBe('After the backup');
  expect(await ines.do(() => losses())).toEqual([]);
});

test('fault_32 what only this phone still shows is listed and can be put back', async () => {
  const [ines, callum] = await pair();
  await sharedDog(ines, callum);
  const backup = server.backup();
  const tansy = await callum.do(() => create('dog', { name: 'Tansy' }));
  await callum.sync();
  await ines.sync();
  server.restore(backup);
  await ines.sync();
  const [lost] = await ines.do(() => losses());
  expect(lost).toMatchObject({ rid: tansy, registers: null });
  if (lost) await ines.do(() => putBack(lost));
  await ines.sync();
  expect(await ines.value(tansy, 'name')).toBe('Tansy');
  expect(await ines.do(() => losses())).toEqual([]);
});

test('fault_32 an op confirmed but not pulled survives a restore with later writes', async () => {
  const phone = await Phone.open(server);
  const dog = await sharedDog(phone);
  const backup = server.backup();
  const made = await phone.do(() => create('weighing', { dog, at: AT, mass_g: 7900 }));
  server.before = (call) => {
    if (call === 'changes') loseReply();
  };
  await phone.failToSync();
  expect(await phone.states()).toEqual(['applied', 'applied']);
  server.before = () => undefined;
  server.restore(backup);
  const other = await Phone.open(server, CALLUM);
  await other.sync();
  await other.do(() => create('weighing', { dog, at: AT, mass_g: 8100 }));
  await other.sync();
  await phone.sync();
  expect(await phone.value(made, 'mass_g')).toBe(7900);
  expect(server.log.map((entry) => entry.op.rid)).toContain(made);
});

test('fault_33 a new role brings a full pull and keeps the queue', async () => {
  const [ines, callum] = await pair();
  const dog = await sharedDog(ines, callum);
  await ines.do(() => create('lot', { food: 'usda-05027', pack_mass_g: 500 }));
  await ines.sync();
  await callum.sync();
  expect(await callum.do(() => records('lot'))).toHaveLength(1);
  await callum.do(() => create('weighing', { dog, at: AT, mass_g: 7900 }));
  server.role = 'sitter';
  await callum.sync();
  expect(await callum.do(() => records('lot'))).toEqual([]);
  expect(await callum.do(() => records('weighing'))).toHaveLength(1);
  expect(await callum.do(() => losses())).toEqual([]);
  server.role = 'owner';
  await callum.sync();
  expect(await callum.do(() => records('lot'))).toHaveLength(1);
});

test('fault_33 a removed member keeps everything and goes on when invited again', async () => {
  const phone = await Phone.open(server);
  await phone.do(() => create('dog', { name: 'Morag' }));
  server.removed = true;
  expect(await phone.failToSync()).toMatchObject({ code: 'not_member' });
  expect(await phone.states()).toEqual(['pending']);
  server.removed = false;
  await phone.sync();
  expect(await phone.states()).toEqual(['applied']);
});

test('fault_34 a first sync cut halfway goes on where it stopped', async () => {
  const ines = await Phone.open(server);
  for (let i = 0; i < 9; i += 1) await ines.do(() => create('dog', { name: `Dog ${String(i)}` }));
  await ines.sync();
  server.pageSize = 2;
  const callum = await Phone.open(server, CALLUM);
  let pages = 0;
  server.before = (call) => {
    if (call === 'changes' && (pages += 1) === 3) loseReply();
  };
  await callum.failToSync();
  expect(await count(callum.context)).toMatchObject({ syncedAt: null });
  await callum.sync();
  expect(await callum.db.records.count()).toBe(9);
  expect(pages).toBe(6);
});

test('fault_34 half a first sync is not shown as if it were all, but own entries are', async () => {
  const ines = await Phone.open(server);
  for (let i = 0; i < 9; i += 1) await ines.do(() => create('dog', { name: `Dog ${String(i)}` }));
  await ines.sync();
  server.pageSize = 2;
  const callum = await Phone.open(server, CALLUM);
  const own = await callum.do(() => create('dog', { name: 'Tansy' }));
  let pages = 0;
  server.before = (call) => {
    if (call === 'changes' && (pages += 1) === 3) loseReply();
  };
  await callum.failToSync();
  expect((await callum.db.records.toArray()).map((row) => row.rid)).toEqual([own]);
  const again = await callum.restart();
  await again.sync();
  expect(await again.db.records.count()).toBe(10);
  expect(await again.value(own, 'name')).toBe('Tansy');
  await again.sync();
  expect(await again.db.hidden.count()).toBe(0);
});

test('fault_38 an export imported after the push has one effect', async () => {
  const ines = await Phone.open(server);
  await sharedDog(ines);
  const file = await ines.do(() => exportOps());
  const fresh = await Phone.open(server);
  expect(await fresh.do(() => importOps(file))).toEqual({ added: 1, known: 0 });
  expect(await fresh.do(() => importOps(file))).toEqual({ added: 0, known: 1 });
  await fresh.sync();
  expect(server.log).toHaveLength(1);
  expect(await fresh.states()).toEqual(['applied']);
});

test('a meal fed on two phones meets in one record', async () => {
  const [ines, callum] = await pair();
  const slot = '018f0000-0000-8000-8000-0000000000b1';
  for (const phone of [ines, callum]) {
    await phone.do(() => create('meal', { day: '2026-11-25', at: AT, name: 'Morning' }, slot));
  }
  await ines.sync();
  await callum.sync();
  expect(await callum.do(() => records('meal'))).toHaveLength(1);
  expect((await callum.shown(slot))?.clash).toBeUndefined();
});

test('a meal undone and fed again is the same record with the new values', async () => {
  const phone = await Phone.open(server);
  const slot = '018f0000-0000-8000-8000-0000000000b2';
  const meal = { day: '2026-11-25', at: AT, name: 'Morning' };
  await phone.do(() => create('meal', meal, slot));
  await phone.sync();
  const fed = await rec(phone, 'meal', slot);
  await phone.do(() => remove(fed));
  expect(await phone.do(() => records('meal'))).toEqual([]);
  await phone.do(() => create('meal', { ...meal, at: '2026-11-25T06:45:00Z' }, slot));
  await phone.sync();
  const [again] = await phone.do(() => records('meal'));
  expect(again?.values.at).toBe('2026-11-25T06:45:00Z');
  expect(again?.also).toEqual({});
  const undone = await rec(phone, 'meal', slot);
  await phone.do(() => remove(undone));
  await phone.do(async () => {
    const gone = await record('meal', slot);
    if (gone) await restore(gone);
  });
  await phone.sync();
  expect(await phone.do(() => records('meal'))).toHaveLength(1);
});
