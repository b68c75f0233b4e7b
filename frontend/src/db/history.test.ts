import { beforeEach, expect, test } from 'vitest';
import { ApiError, NoAnswer } from '../api/client.ts';
import type { HistoryReply, ReadHistory } from '../api/sync.ts';
import { ModelServer } from '../test/model-server.ts';
import { CALLUM, INES, Phone } from '../test/phone.ts';
import { wipeDevice } from './device.ts';
import { fetchHistory, history } from './history.ts';
import { record, type Rec } from './read.ts';
import { discard, waiting } from './tray.ts';
import { create, edit } from './write.ts';

let server: ModelServer;
let ines: Phone;
let callum: Phone;
let dog: string;

beforeEach(async () => {
  await wipeDevice();
  server = new ModelServer();
  ines = await Phone.open(server, INES);
  callum = await Phone.open(server, CALLUM);
  dog = await ines.do(() => create('dog', { name: 'Morag' }));
  await ines.sync();
  await callum.sync();
});

async function rec(phone: Phone): Promise<Rec<'dog'>> {
  const found = await phone.do(() => record('dog', dog));
  if (!found) throw new Error('no dog');
  return found;
}

async function rename(phone: Phone, name: string): Promise<void> {
  const seen = await rec(phone);
  await phone.do(() => edit(seen, { name }));
}

/** The server's answer, in pages of `size`. */
function reader(size = 500): ReadHistory {
  return (_household, rid, before) => {
    const entries = server.log
      .filter(({ op, result, seq }) => {
        const isOlder = before === null || seq < before;
        return op.rid === rid && result.status === 'applied' && isOlder;
      })
      .sort((a, b) => b.seq - a.seq);
    const deeds = entries.slice(0, size).map(({ op, seq }): HistoryReply['deeds'][number] => {
      const { op_id, author: by, occurred_at: at, set, seen } = op;
      return { op_id, seq, by, submitted_by: null, at, new: op.new, set, seen };
    });
    return Promise.resolve({ rid, entity: 'dog', deeds, more: entries.length > size });
  };
}

async function names(phone: Phone): Promise<unknown[]> {
  const found = await phone.do(() => history(dog));
  return found?.steps.map(({ deed }) => [deed.set['name'], deed.state]) ?? [];
}

test('without the network a phone tells its own entries and what still holds of others', async () => {
  await rename(callum, 'Morag C');
  await callum.sync();
  await ines.sync();
  await rename(ines, 'Morag I');
  expect(await names(ines)).toEqual([
    ['Morag I', 'waiting'],
    ['Morag', 'in force'],
  ]);
  expect(await names(callum)).toEqual([['Morag C', 'in force']]);
  expect((await ines.do(() => history(dog)))?.read_at).toBeNull();
});

test('what was read once stays readable without the network, all pages of it', async () => {
  await rename(ines, 'Morag 2');
  await rename(ines, 'Morag 3');
  await ines.sync();
  await callum.sync();
  await callum.do(() => fetchHistory(dog, reader(1)));
  expect(await names(callum)).toEqual([
    ['Morag 3', 'in force'],
    ['Morag 2', 'in force'],
    ['Morag', 'in force'],
  ]);
  await expect(
    callum.do(() => fetchHistory(dog, () => Promise.reject(new NoAnswer()))),
  ).rejects.toThrow(NoAnswer);
  const found = await callum.do(() => history(dog));
  expect(found?.steps).toHaveLength(3);
  expect(found?.read_at).not.toBeNull();
});

test('what the server does not have yet is told from this phone alone', async () => {
  const tansy = await ines.do(() => create('dog', { name: 'Tansy' }));
  const unknown: ReadHistory = () =>
    Promise.reject(new ApiError(404, 'not_found', 'No such record.'));
  await ines.do(() => fetchHistory(tansy, unknown));
  const found = await ines.do(() => history(tansy));
  expect(found?.steps.map((step) => step.deed.state)).toEqual(['waiting']);
});

test('an entry thrown away stays readable where it was written, and counts no more', async () => {
  await rename(ines, 'Mistyped');
  const [entry] = await ines.do(waiting);
  if (entry) await ines.do(() => discard(entry));
  expect(await names(ines)).toEqual([
    ['Mistyped', 'dropped'],
    ['Morag', 'in force'],
  ]);
  expect(await ines.value(dog, 'name')).toBe('Morag');
});

test('one member’s reading is not shown to another on the same phone', async () => {
  await rename(ines, 'Morag 2');
  await ines.sync();
  await callum.sync();
  await callum.do(() => fetchHistory(dog, reader()));
  expect(await names(callum)).toHaveLength(2);
  expect(await names(callum.signIn(INES))).toHaveLength(1);
});

test('what belongs to a record stands below it, and what is deleted too', async () => {
  const at = '2026-11-25T06:30:00Z';
  const weighing = await ines.do(() => create('weighing', { dog, at, mass_g: 7900 }));
  const found = await ines.do(() => history(dog));
  expect(found?.below.map((each) => each.rid)).toEqual([weighing]);
  expect(found?.naming(weighing)).toBe('Morag');
});

test('of a record nobody ever wrote here there is no history', async () => {
  expect(await ines.do(() => history('018f0000-0000-7000-8000-00000000ffff'))).toBeNull();
});
