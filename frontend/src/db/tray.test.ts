/** Entries that wait: what may be thrown away or mended before anybody else has it. */

import { beforeEach, expect, test } from 'vitest';
import { ApiError, NoAnswer } from '../api/client.ts';
import { loseReply, ModelServer } from '../test/model-server.ts';
import { CALLUM, INES, Phone } from '../test/phone.ts';
import { exportOps, importOps, NotAnExport, previewImport } from './backup.ts';

import { record } from './read.ts';
import { AlreadyOut, discard, discardAll, refused, resend, waiting, waitsOn } from './tray.ts';
import type { Entry } from './words.ts';
import { create, edit } from './write.ts';

const AT = '2026-11-25T06:30:00Z';
let server: ModelServer;
let phone: Phone;

beforeEach(async () => {
  server = new ModelServer();
  phone = await Phone.open(server, INES);
});

async function first(): Promise<Entry> {
  const [entry] = await phone.do(waiting);
  if (!entry) throw new Error('nothing waits');
  return entry;
}

test('an entry that never went out is dropped with what hangs on it, and sends nothing', async () => {
  const dog = await phone.do(() => create('dog', { name: 'Morag' }));
  await phone.do(() => create('weighing', { dog, at: AT, mass_g: 7900 }));
  const entry = await first();
  expect((await phone.do(() => waitsOn(entry))).map((each) => each.entity)).toEqual(['weighing']);
  await phone.do(() => discard(entry));
  expect(await phone.do(waiting)).toEqual([]);
  expect(await phone.shown(dog)).toBeUndefined();
  await phone.sync();
  expect(server.log).toEqual([]);
});

test('an edit dropped gives way to what stood there before', async () => {
  const dog = await phone.do(() => create('dog', { name: 'Morag' }));
  await phone.sync();
  const seen = await phone.do(() => record('dog', dog));
  if (seen) await phone.do(() => edit(seen, { name: 'Mistyped' }));
  await phone.do(async () => discardAll(await waiting()));
  expect(await phone.value(dog, 'name')).toBe('Morag');
});

test('one that went out without an answer is not dropped: the server may have it', async () => {
  await phone.do(() => create('dog', { name: 'Morag' }));
  server.after = () => loseReply();
  await phone.failToSync();
  const entry = await first();
  expect(entry.state).toBe('sent');
  await phone.do(() => discard(entry));
  expect((await first()).op_id).toBe(entry.op_id);
});

test('one that could not leave the phone is still ours alone, and can be dropped', async () => {
  await phone.do(() => create('dog', { name: 'Morag' }));
  server.before = () => {
    throw new NoAnswer(undefined, null, false);
  };
  await phone.failToSync();
  const entry = await first();
  expect(entry.state).toBe('pending');
  await phone.do(() => discard(entry));
  expect(await phone.do(waiting)).toEqual([]);
});

test('one dropped while it is under way is listed when it arrived all the same', async () => {
  const dog = await phone.do(() => create('dog', { name: 'Morag' }));
  const entry = await first();
  const link = server.as(INES);
  await phone.sync({
    push: async (household, body) => {
      const reply = await link.push(household, body);
      await phone.do(() => discard(entry));
      return reply;
    },
    changes: (household, cursor, mark) => link.changes(household, cursor, mark),
  });
  expect((await phone.do(refused)).map((each) => each.surprise)).toEqual([true]);
  expect(await phone.value(dog, 'name')).toBe('Morag');
});

test('one that fails alone at the server says so, and can be mended', async () => {
  const dog = await phone.do(() => create('dog', { name: 'Breaks' }));
  server.before = (call, body) => {
    const isBad = body?.ops.some((op) => op.set['name'] === 'Breaks') ?? false;
    if (call === 'push' && isBad) throw new ApiError(500, 'broken', 'No.');
  };
  for (let round = 0; round < 4; round += 1) await phone.failToSync();
  const entry = await first();
  expect(entry.poison).toBe(true);
  await phone.do(() => resend(entry, { name: 'Morag' }));
  expect(await phone.value(dog, 'name')).toBe('Morag');
  await phone.sync();
  expect(await phone.do(waiting)).toEqual([]);
  expect(server.log.map(({ op }) => op.set['name'])).toEqual(['Morag']);
});

test('one that is out is not mended without a word: what was typed would be lost', async () => {
  await phone.do(() => create('dog', { name: 'Mistyped' }));
  server.after = () => loseReply();
  await phone.failToSync();
  const entry = await first();
  expect(entry.state).toBe('sent');
  await expect(phone.do(() => resend(entry, { name: 'Morag' }))).rejects.toThrow(AlreadyOut);
  server.after = () => undefined;
  await phone.sync();
  await expect(phone.do(() => resend(entry, { name: 'Morag' }))).rejects.toThrow(AlreadyOut);
});

test('what follows a drop that could not be written takes the drop back with it', async () => {
  const dog = await phone.do(() => create('dog', { name: 'Morag' }));
  const entry = await first();
  const follow = () => Promise.reject(new Error('no room'));
  await expect(phone.do(() => discardAll([entry], follow))).rejects.toThrow();
  await phone.sync();
  expect(server.log).toHaveLength(1);
  expect(await phone.value(dog, 'name')).toBe('Morag');
});

test('fault_38 a copy leaves out what was thrown away, and can hold the unsynced alone', async () => {
  await phone.do(() => create('dog', { name: 'Morag' }));
  await phone.sync();
  await phone.do(() => create('dog', { name: 'Mistyped' }));
  const entry = await first();
  await phone.do(() => discard(entry));
  await phone.do(() => create('dog', { name: 'Tansy' }));
  const namesIn = async (which: 'all' | 'unsynced'): Promise<unknown[]> => {
    const text = await (await phone.do(() => exportOps(which))).text();
    return text
      .trim()
      .split('\n')
      .map((line) => (JSON.parse(line) as { set: { name: string } }).set.name);
  };
  expect(await namesIn('all')).toEqual(['Morag', 'Tansy']);
  expect(await namesIn('unsynced')).toEqual(['Tansy']);
});

test('fault_38 taken in by another member on another phone it is held, not sent as theirs', async () => {
  await phone.do(() => create('dog', { name: 'Morag' }));
  const file = await phone.do(() => exportOps('unsynced'));
  const other = await Phone.open(server, CALLUM);
  expect(await other.do(() => previewImport(file))).toEqual({
    fresh: 1,
    known: 0,
    ofOthers: 1,
    authors: [INES],
  });
  await other.do(() => importOps(file));
  await other.sync();
  expect(server.log).toEqual([]);
  expect((await other.do(waiting)).map((entry) => entry.held)).toEqual([true]);
  await phone.sync();
  expect(server.log).toHaveLength(1);
  expect(await other.do(() => importOps(file))).toEqual({ added: 0, known: 1 });
});

test.each([
  ['nothing at all', '', /no entry in this file/],
  ['a picture', '\u0089PNG\r\n', /Line 1 is not JSON/],
  ['other JSON', '{"dogs": []}\n', /Line 1 is not an entry/],
  [
    'half an entry',
    '{"op_id": "018f0000-0000-7000-8000-0000000000aa", "set": null}',
    /not an entry/,
  ],
])('a wrong file (%s) is refused whole, with the line', async (_name, text, words) => {
  const file = new Blob([text]);
  await expect(phone.do(() => previewImport(file))).rejects.toThrow(words);
  await expect(phone.do(() => importOps(file))).rejects.toThrow(NotAnExport);
  expect(await phone.ops()).toEqual([]);
});

test('a file of another household is refused, and nothing of it is taken in', async () => {
  await phone.do(() => create('dog', { name: 'Morag' }));
  const text = await (await phone.do(() => exportOps())).text();
  const foreign = text.replace('018f0000-0000-7000-8000-00000000000a', INES);
  const other = await Phone.open(server, CALLUM);
  await expect(other.do(() => importOps(new Blob([text, foreign])))).rejects.toThrow(
    /Line 2 belongs to another household/,
  );
  expect(await other.ops()).toEqual([]);
});
