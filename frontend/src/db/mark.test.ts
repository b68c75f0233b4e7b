/** The mark, asked after everything that can happen: it never says more than the store holds. */

import fc from 'fast-check';
import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import { ApiError, NoAnswer } from '../api/client.ts';
import { ModelServer } from '../test/model-server.ts';
import { CALLUM, INES, Phone } from '../test/phone.ts';
import { count, dropCounts, nextTicket, show } from './counts.ts';
import { record } from './read.ts';
import { acknowledge, discard, dismissLost, losses, refused, resend, waiting } from './tray.ts';
import { app, type MarkState } from './state.svelte.ts';
import { SyncLoop } from './sync/loop.ts';
import { create, edit } from './write.ts';

vi.setConfig({ testTimeout: 600_000 });

beforeEach(() => {
  const calm = { online: true, syncing: false, pause: null, trouble: null, caughtUp: false };
  Object.assign(app, calm, { waiting: 0, refused: 0, conflicts: 0, lost: 0, held: 0 });
});

afterEach(() => {
  vi.unstubAllGlobals();
});

const ANSWERS = ['good', 'none', 'half', '500', '429', '403'] as const;
const ACTS = [
  'write',
  'write bad',
  'clash',
  'mend',
  'drop',
  'settle losses',
  'restore',
  'hand over',
] as const;
type Act = (typeof ACTS)[number] | (typeof ANSWERS)[number];

interface Table {
  server: ModelServer;
  phone: Phone;
  other: Phone;
  /** What the server's last answer to a whole round was; null: never asked, or it failed. */
  isCaughtUp: boolean;
  dog: string;
}

async function round(table: Table, answer: (typeof ANSWERS)[number]): Promise<void> {
  const { server, phone } = table;
  server.before = (call) => {
    if (answer === 'none' || (answer === 'half' && call === 'changes')) throw new NoAnswer();
    if (answer === '500') throw new ApiError(500, 'broken', '');
    if (answer === '429') throw new ApiError(429, 'throttled', '', {}, 1);
    if (answer === '403') throw new ApiError(403, 'not_member', '');
  };
  const loop = new SyncLoop(phone.context, { server: server.as(phone.context.member) });
  await loop.syncNow();
  loop.stop();
  server.before = () => undefined;
  table.isCaughtUp = answer === 'good';
}

async function clash({ phone, other, dog }: Table): Promise<void> {
  for (const each of [phone, other]) {
    const seen = await each.do(() => record('dog', dog));
    if (seen && !seen.gone) await each.do(() => edit(seen, { name: `By ${each.context.member}` }));
  }
  await other.sync();
}

async function act(table: Table, what: (typeof ACTS)[number]): Promise<void> {
  const { server, phone, other } = table;
  const entries = phone.do(refused);
  switch (what) {
    case 'write':
      return void (await phone.do(() => create('dog', { name: 'Tansy' })));
    case 'write bad':
      return void (await phone.do(() => create('dog', { name: 'Bad' })));
    case 'clash':
      return clash(table);
    case 'mend':
      for (const entry of await entries)
        if (!entry.surprise) await phone.do(() => resend(entry, { name: 'Mended' }));
      return;
    case 'drop':
      for (const entry of [...(await entries), ...(await phone.do(waiting))])
        await phone.do(() => (entry.surprise ? acknowledge(entry) : discard(entry)));
      return;
    case 'settle losses':
      for (const lost of await phone.do(losses)) await phone.do(() => dismissLost(lost));
      return;
    case 'restore': {
      const backup = server.backup();
      await other.do(() => create('dog', { name: 'Pascoe' }));
      await other.sync();
      await phone.sync();
      server.restore(backup);
      return;
    }
    case 'hand over':
      table.phone = phone.signIn(phone.context.member === INES ? CALLUM : INES);
  }
}

/** What the mark may say, told from the store by other means than its own counters. */
async function allowed({ phone, isCaughtUp }: Table): Promise<MarkState['state'][]> {
  const ops = await phone.ops();
  const open = ops.filter((op) => ['pending', 'sent', 'wait'].includes(op.state));
  const isHeld = open.some((op) => op.author !== phone.context.member && !op.submitted_by);
  const isRefused = ops.some((op) => op.state === 'rejected' || op.surprise === 1);
  const rows = await phone.db.records.toArray();
  const isClash = rows.some((row) => row.live === 1 && row.clash === 1);
  const isLost = (await phone.do(losses)).length > 0;
  if (isHeld || isRefused || isClash || isLost || app.pause !== null) return ['needs_you'];
  if (open.length > 0) return app.online && app.syncing ? ['saved'] : ['waiting'];
  return isCaughtUp && app.online ? ['synced'] : ['saved'];
}

async function look(table: Table): Promise<void> {
  show(await count(table.phone.context));
  const { state, waiting: many } = app.mark;
  expect(await allowed(table)).toContain(state);
  const open = (await table.phone.ops()).filter((op) =>
    ['pending', 'sent', 'wait'].includes(op.state),
  );
  expect(many).toBe(open.length);
}

async function play(acts: readonly Act[]): Promise<void> {
  const server = new ModelServer();
  server.refuses = ({ set }) => (set['name'] === 'Bad' ? 'No.' : null);
  const phone = await Phone.open(server, INES);
  const other = await Phone.open(server, CALLUM);
  const dog = await other.do(() => create('dog', { name: 'Morag' }));
  await other.sync();
  const table: Table = { server, phone, other, isCaughtUp: false, dog };
  Object.assign(app, { online: true, pause: null, caughtUp: false });
  dropCounts();
  try {
    await look(table);
    for (const each of acts) {
      if ((ANSWERS as readonly string[]).includes(each)) await round(table, each as 'good');
      else await act(table, each as 'write');
      await look(table);
    }
  } finally {
    await phone.db.delete();
    await other.db.delete();
  }
}

test('whatever happened, the mark says no more than is so, and never a wrong number', async () => {
  const acts = fc.array(fc.constantFrom<Act>(...ACTS, ...ANSWERS, 'good', 'good'), {
    minLength: 1,
    maxLength: 10,
  });
  await fc.assert(fc.asyncProperty(acts, play), { numRuns: 25 });
});

test('opened without the network it does not claim that all is synced', async () => {
  const server = new ModelServer();
  const phone = await Phone.open(server, INES);
  await phone.sync();
  const again = await phone.restart();
  show(await count(again.context));
  expect(app.syncedAt).not.toBeNull();
  expect(app.mark.state).toBe('saved');
});

test('while everything is fetched anew it does not say that all is synced', async () => {
  const server = new ModelServer();
  server.pageSize = 1;
  const phone = await Phone.open(server, INES);
  const other = await Phone.open(server, CALLUM);
  for (const name of ['Morag', 'Tansy', 'Pascoe']) await other.do(() => create('dog', { name }));
  await other.sync();
  const table: Table = { server, phone, other, isCaughtUp: false, dog: '' };
  await round(table, 'good');
  show(await count(phone.context));
  expect(app.mark.state).toBe('synced');
  server.roles.set(INES, 'partner');
  let pages = 0;
  server.before = (call) => {
    if (call === 'changes' && (pages += 1) === 3) throw new NoAnswer();
  };
  await phone.failToSync();
  Object.assign(app, { online: true, caughtUp: true });
  show(await count(phone.context));
  expect(app.mark.state).toBe('saved');
});

test('a count that began before a write and ends after it does not hide the entry', async () => {
  const phone = await Phone.open(new ModelServer(), INES);
  Object.assign(app, { caughtUp: true, online: true });
  const early = await count(phone.context);
  await phone.do(() => create('dog', { name: 'Morag' }));
  expect(app.waiting).toBe(1);
  show(early);
  expect(app.waiting).toBe(1);
  expect(app.mark.state).toBe('waiting');
});

test('what a count has told already is not added again, and no older count comes after', () => {
  const [early, write] = [nextTicket(), nextTicket()];
  show({ ticket: nextTicket(), waiting: 1 });
  show({ ticket: write, waiting: app.waiting + 1 });
  expect(app.waiting).toBe(1);
  show({ ticket: nextTicket(), waiting: app.waiting + 1 });
  show({ ticket: early, waiting: 0 });
  expect(app.waiting).toBe(2);
});
