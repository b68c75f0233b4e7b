/** The phone's own store fails at every single step of every write: all of it is there, or none. */

import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import { ModelServer } from '../../test/model-server.ts';
import { CALLUM, INES, Phone } from '../../test/phone.ts';
import { exportOps, importOps } from '../backup.ts';
import { NotSaved } from '../errors.ts';
import { removeWhole } from '../outlived.ts';
import { conflicts, record, type Rec } from '../read.ts';
import { discard, losses, putBack, refused, resend, submitHeld, waiting } from '../tray.ts';
import { create, edit, remove, resolve, restore } from '../write.ts';

const AT = '2026-11-25T06:30:00Z';
const WRITES = ['put', 'add', 'delete', 'clear'] as const;
/** As the browser declares each of them. */
type Write = (...values: unknown[]) => never;

// Every step of every write is many writes; a slow machine takes its time over them.
vi.setConfig({ testTimeout: 120_000 });

let server: ModelServer;

beforeEach(() => {
  server = new ModelServer();
});

afterEach(() => {
  vi.restoreAllMocks();
});

/** Counts what is written to the browser's stores, and fails the write with the number `at`. */
function failAt(at: number, fail: () => never): { count: number } {
  const seen = { count: 0 };
  for (const name of WRITES) {
    const real = Object.getOwnPropertyDescriptor(IDBObjectStore.prototype, name)?.value as Write;
    vi.spyOn(IDBObjectStore.prototype, name).mockImplementation(function (
      this: IDBObjectStore,
      ...values: unknown[]
    ) {
      seen.count += 1;
      if (seen.count === at) fail();
      return real.apply(this, values);
    });
  }
  return seen;
}

async function everything(phone: Phone): Promise<unknown> {
  const stores = await Promise.all(
    phone.db.tables.map(async (table) => [table.name, await table.toArray()] as const),
  );
  return Object.fromEntries(stores);
}

async function rec(phone: Phone, rid: string): Promise<Rec> {
  const found = await phone.do(() => record('dog', rid));
  if (!found) throw new Error('no dog');
  return found;
}

interface Scene {
  phone: Phone;
  dog: string;
}

async function scene(): Promise<Scene> {
  const phone = await Phone.open(server, INES);
  const dog = await phone.do(() => create('dog', { name: 'Morag' }));
  await phone.do(() => create('weighing', { dog, at: AT, mass_g: 7900 }));
  await phone.sync();
  return { phone, dog };
}

/** Each makes ready, and gives back the write that is to fail. */
const WRITERS: Record<string, () => Promise<{ phone: Phone; write: () => Promise<unknown> }>> = {
  create: async () => {
    const { phone, dog } = await scene();
    return { phone, write: () => create('weighing', { dog, at: AT, mass_g: 8000 }) };
  },
  edit: async () => {
    const { phone, dog } = await scene();
    const seen = await rec(phone, dog);
    return { phone, write: () => edit(seen, { name: 'Morag B' }) };
  },
  remove: async () => {
    const { phone, dog } = await scene();
    const seen = await rec(phone, dog);
    return { phone, write: () => remove(seen) };
  },
  removeWhole: async () => {
    const { phone, dog } = await scene();
    return { phone, write: () => removeWhole(dog) };
  },
  restore: async () => {
    const { phone, dog } = await scene();
    await phone.do(() => removeWhole(dog));
    const seen = await rec(phone, dog);
    return { phone, write: () => restore(seen) };
  },
  resolve: async () => {
    const { phone, dog } = await scene();
    const callum = await Phone.open(server, CALLUM);
    await callum.sync();
    const theirs = await rec(callum, dog);
    await callum.do(() => edit(theirs, { name: 'C' }));
    await callum.sync();
    const ours = await rec(phone, dog);
    await phone.do(() => edit(ours, { name: 'I' }));
    await phone.sync();
    const [clash] = await phone.do(conflicts);
    if (!clash) throw new Error('no conflict');
    return { phone, write: () => resolve(clash, 'name' as never, 'C') };
  },
  resend: async () => {
    const { phone, entry } = await oneRefused();
    return { phone, write: () => resend(entry, { name: 'Mended' }) };
  },
  discard: async () => {
    const { phone, entry } = await oneRefused();
    return { phone, write: () => discard(entry) };
  },
  'discard what waits': async () => {
    const { phone } = await scene();
    await phone.do(() => create('dog', { name: 'Tansy' }));
    const [entry] = await phone.do(waiting);
    if (!entry) throw new Error('nothing waits');
    return { phone, write: () => discard(entry) };
  },
  submitHeld: async () => {
    const { phone } = await scene();
    await phone.do(() => create('dog', { name: 'Tansy' }));
    return { phone: phone.signIn(CALLUM), write: submitHeld };
  },
  putBack: async () => {
    const { phone } = await scene();
    const backup = server.backup();
    const callum = await Phone.open(server, CALLUM);
    await callum.do(() => create('dog', { name: 'Tansy' }));
    await callum.sync();
    await phone.sync();
    server.restore(backup);
    await phone.sync();
    const [lost] = await phone.do(losses);
    if (!lost) throw new Error('nothing lost');
    return { phone, write: () => putBack(lost) };
  },
  importOps: async () => {
    const { phone } = await scene();
    const file = await phone.do(() => exportOps());
    const other = await Phone.open(server, CALLUM);
    return { phone: other, write: () => importOps(file) };
  },
};

async function oneRefused() {
  const phone = await Phone.open(server, INES);
  server.refuses = ({ set }) => (set['name'] === 'Bad' ? 'No.' : null);
  await phone.do(() => create('dog', { name: 'Bad' }));
  await phone.sync();
  const [entry] = await phone.do(refused);
  if (!entry) throw new Error('nothing was refused');
  return { phone, entry };
}

const names = Object.keys(WRITERS);

async function prepare(name: string) {
  const ready = WRITERS[name];
  if (!ready) throw new Error(name);
  return ready();
}

/** How many single writes it takes when nothing fails. */
async function stepsOf(name: string): Promise<number> {
  const { phone, write } = await prepare(name);
  const seen = failAt(0, () => {
    throw new Error('never');
  });
  await phone.do(write);
  vi.restoreAllMocks();
  return seen.count;
}

test.each(names)(
  'fault_02 %s, failing at any of its steps, leaves nothing behind',
  async (name) => {
    const steps = await stepsOf(name);
    expect(steps).toBeGreaterThan(0);
    const { phone, write } = await prepare(name);
    const before = await everything(phone);
    for (let at = 1; at <= steps; at += 1) {
      failAt(at, () => {
        throw new Error('disk');
      });
      const error = await phone.do(write).catch((thrown: unknown) => thrown);
      vi.restoreAllMocks();
      expect(error, `step ${String(at)}`).toBeInstanceOf(NotSaved);
      expect(await everything(phone), `step ${String(at)}`).toEqual(before);
    }
    await phone.do(write);
    expect(await everything(phone)).not.toEqual(before);
  },
);

test.each(names)(
  'fault_29 %s without room says so at any step, and works once there is',
  async (name) => {
    const steps = await stepsOf(name);
    const { phone, write } = await prepare(name);
    const before = await everything(phone);
    for (let at = 1; at <= steps; at += 1) {
      failAt(at, () => {
        throw new DOMException('full', 'QuotaExceededError');
      });
      const error = await phone.do(write).catch((thrown: unknown) => thrown);
      vi.restoreAllMocks();
      expect(error, `step ${String(at)}`).toMatchObject({ name: 'NotSaved', reason: 'full' });
      expect(await everything(phone), `step ${String(at)}`).toEqual(before);
    }
    await phone.do(write);
    expect(await everything(phone)).not.toEqual(before);
  },
);

/** As browsers do after a while in the background: the connection is gone, and may be opened again. */
function loseConnection(phone: Phone): never {
  phone.db.close({ disableAutoOpen: false });
  throw new DOMException('The database connection is closing.', 'InvalidStateError');
}

test.each(names)('fault_30 %s goes through once, wherever its connection is lost', async (name) => {
  const steps = await stepsOf(name);
  for (let at = 1; at <= steps; at += 1) {
    server = new ModelServer();
    const { phone, write } = await prepare(name);
    const before = (await phone.ops()).length;
    failAt(at, () => loseConnection(phone));
    await phone.do(write);
    vi.restoreAllMocks();
    const after = await phone.ops();
    const numbers = after.filter((op) => op.author === INES).map((op) => op.n);
    expect(new Set(numbers).size, `step ${String(at)}`).toBe(numbers.length);
    expect(after.length - before, `step ${String(at)}`).toBe(await opsMadeBy(name));
  }
});

const made = new Map<string, number>();

async function opsMadeBy(name: string): Promise<number> {
  const known = made.get(name);
  if (known !== undefined) return known;
  const kept = server;
  server = new ModelServer();
  const { phone, write } = await prepare(name);
  const before = (await phone.ops()).length;
  await phone.do(write);
  made.set(name, (await phone.ops()).length - before);
  server = kept;
  return made.get(name) ?? 0;
}

test('fault_30 a round of sync that loses its connection at any step ends well the next time', async () => {
  const roundSteps = async (at: number): Promise<number> => {
    server = new ModelServer();
    const other = await Phone.open(server, CALLUM);
    await other.do(() => create('dog', { name: 'Pascoe' }));
    await other.sync();
    const phone = await Phone.open(server, INES);
    const dog = await phone.do(() => create('dog', { name: 'Morag' }));
    const seen = failAt(at, () => loseConnection(phone));
    await phone.failToSync();
    vi.restoreAllMocks();
    await phone.sync();
    expect(await phone.states(), `step ${String(at)}`).toEqual(['applied']);
    expect(server.log, `step ${String(at)}`).toHaveLength(2);
    expect(await phone.value(dog, 'name')).toBe('Morag');
    expect(await phone.db.records.count(), `step ${String(at)}`).toBe(2);
    return seen.count;
  };
  const steps = await roundSteps(0);
  for (let at = 1; at <= steps; at += 1) await roundSteps(at);
});
