import { expect, test } from 'vitest';
import { ModelServer } from '../test/model-server.ts';
import { CALLUM, INES, Phone } from '../test/phone.ts';
import { carry } from './carried.ts';
import { record } from './read.ts';
import { create, edit, remove } from './write.ts';

const AT = '2026-11-25T06:30:00Z';
const many = (_rec: unknown, children: readonly unknown[]): number => children.length;

async function carriedOf(phone: Phone, rid: string): Promise<unknown> {
  return (await phone.do(() => record('dog', rid)))?.carried;
}

async function dogWith(phone: Phone, weighings: number): Promise<string> {
  const dog = await phone.do(() => create('dog', { name: 'Morag' }));
  for (let n = 0; n < weighings; n += 1)
    await phone.do(() => create('weighing', { dog, at: AT, mass_g: 7900 + n }));
  return dog;
}

test('a sum is kept, and goes with the next entry that belongs to the record', async () => {
  const phone = await Phone.open(new ModelServer());
  const dog = await dogWith(phone, 2);
  const other = await dogWith(phone, 1);
  await phone.do(() => carry([dog, other], many));
  expect([await carriedOf(phone, dog), await carriedOf(phone, other)]).toEqual([2, 1]);
  const added = await phone.do(() => create('weighing', { dog, at: AT, mass_g: 8000 }));
  expect([await carriedOf(phone, dog), await carriedOf(phone, other)]).toEqual([undefined, 1]);

  await phone.do(() => carry([dog], many));
  const weighing = await phone.do(() => record('weighing', added));
  if (weighing) await phone.do(() => edit(weighing, { mass_g: 8100 }));
  expect(await carriedOf(phone, dog)).toBeUndefined();

  await phone.do(() => carry([dog], many));
  const again = await phone.do(() => record('weighing', added));
  if (again) await phone.do(() => remove(again));
  expect(await carriedOf(phone, dog)).toBeUndefined();
  await phone.do(() => carry([dog], many));
  expect(await carriedOf(phone, dog)).toBe(2);
});

test('it goes when the record itself changes', async () => {
  const phone = await Phone.open(new ModelServer());
  const dog = await dogWith(phone, 1);
  await phone.do(() => carry([dog], many));
  const rec = await phone.do(() => record('dog', dog));
  if (rec) await phone.do(() => edit(rec, { breed: 'mixed' }));
  expect(await carriedOf(phone, dog)).toBeUndefined();
});

test('it goes with what another phone has entered', async () => {
  const server = new ModelServer();
  const [ines, callum] = [await Phone.open(server, INES), await Phone.open(server, CALLUM)];
  const dog = await dogWith(ines, 1);
  await ines.sync();
  await callum.sync();
  await ines.do(() => carry([dog], many));
  await callum.do(() => create('weighing', { dog, at: AT, mass_g: 8000 }));
  await callum.sync();
  await ines.sync();
  expect(await carriedOf(ines, dog)).toBeUndefined();
});

test('it goes when the server refuses an entry that was in it', async () => {
  const server = new ModelServer();
  const phone = await Phone.open(server);
  const dog = await dogWith(phone, 1);
  await phone.sync();
  await phone.do(() => create('weighing', { dog, at: AT, mass_g: 8000 }));
  const made = (await phone.ops()).at(-1);
  // Refused by the server alone: an older app lets through what a newer server does not.
  if (made) await phone.db.ops.put({ ...made, body: { ...made.body, set: { dog, at: AT } } });
  await phone.do(() => carry([dog], many));
  expect(await carriedOf(phone, dog)).toBe(2);
  await phone.sync();
  expect((await phone.states()).at(-1)).toBe('rejected');
  expect(await carriedOf(phone, dog)).toBeUndefined();
});

test('it goes when the entry is refused and a later change of it still waits', async () => {
  const server = new ModelServer();
  const phone = await Phone.open(server);
  const dog = await dogWith(phone, 1);
  await phone.sync();
  const added = await phone.do(() => create('weighing', { dog, at: AT, mass_g: 8000 }));
  const made = (await phone.ops()).at(-1);
  const weighing = await phone.do(() => record('weighing', added));
  if (weighing) await phone.do(() => edit(weighing, { note: 'after supper' }));
  if (made) await phone.db.ops.put({ ...made, body: { ...made.body, set: { dog, at: AT } } });
  await phone.do(() => carry([dog], many));
  await phone.sync();
  expect((await phone.states()).slice(-2)).toEqual(['rejected', 'wait']);
  // What is left of it belongs to nobody.
  expect(await carriedOf(phone, dog)).toBeUndefined();
});

test('it never leaves the phone, and a fresh pull brings none', async () => {
  const server = new ModelServer();
  const ines = await Phone.open(server, INES);
  const dog = await dogWith(ines, 1);
  await ines.do(() => carry([dog], many));
  const rec = await ines.do(() => record('dog', dog));
  if (rec) await ines.do(() => edit(rec, { breed: 'mixed' }));
  await ines.do(() => carry([dog], many));
  await ines.sync();
  expect(JSON.stringify(server.log)).not.toContain('carried');
  expect(JSON.stringify(await ines.db.base.toArray())).not.toContain('carried');
  server.restore(server.backup());
  await ines.sync();
  expect(await carriedOf(ines, dog)).toBeUndefined();
});

test('nothing is kept where there is nothing to keep', async () => {
  const phone = await Phone.open(new ModelServer());
  const dog = await dogWith(phone, 1);
  await phone.do(() => carry([dog, 'not there'], () => undefined));
  expect(await carriedOf(phone, dog)).toBeUndefined();
});
