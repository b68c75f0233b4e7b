/** What can happen in a random run. A step is plain data, so that a failing run can be shrunk and kept. */

import { uuid7 } from '../../domain/ids.ts';
import type { Values } from '../../domain/kinds.ts';
import { SCHEMA, type Op } from '../../domain/protocol.ts';
import { HOUSEHOLD } from '../../test/phone.ts';
import { carry } from '../carried.ts';
import { outlived, removeWhole } from '../outlived.ts';
import { conflicts, type Rec } from '../read.ts';
import {
  acknowledge,
  discard,
  dismissLost,
  losses,
  putBack,
  refused,
  resend,
  submitHeld,
  waiting,
} from '../tray.ts';
import { create, edit, remove, resolve, restore } from '../write.ts';
import { checkCarried, everythingOf } from './invariants.ts';
import { FAULTS } from './link.ts';
import { MEMBERS, START_MS, type Holder, type World } from './world.ts';

/** Which phone, what it does, and two numbers that choose among what there is. */
export type Step = readonly [what: Kind, phone: number, a: number, b: number];

type Play = (world: World, holder: Holder, a: number, b: number) => Promise<void>;

const NAMES = ['Morag', 'Tansy', 'Pascoe', 'Bad name'];
const HOUR_MS = 3_600_000;
const CLOCKS_MS = [0, 3 * HOUR_MS, 3 * 365 * 24 * HOUR_MS, -72 * HOUR_MS, -5 * 60_000];
const ROLES = ['owner', 'partner', 'sitter'];

function pick<T>(list: readonly T[], number: number): T | undefined {
  return list[number % Math.max(1, list.length)];
}

function at(b: number): string {
  return new Date(START_MS + b * 60_000).toISOString().replace('.000', '');
}

async function someRecord(
  world: World,
  holder: Holder,
  a: number,
  gone = false,
): Promise<Rec | undefined> {
  const kinds = ['dog', 'dog', 'weighing', 'lot', 'movement'] as const;
  const entity = pick(kinds, a) ?? 'dog';
  const all = await world.read(holder, entity, gone);
  return pick(
    all.filter((rec) => rec.gone === gone),
    Math.floor(a / kinds.length),
  );
}

function changesFor(rec: Rec, b: number): Record<string, unknown> {
  if (rec.entity === 'dog')
    return b % 3 === 0
      ? { breed: `breed ${String(b)}` }
      : { name: `${pick(NAMES, b) ?? ''} ${String(b)}` };
  if (rec.entity === 'lot' || rec.entity === 'movement') return { note: `note ${String(b)}` };
  return b % 2 === 0 ? { mass_g: 5000 + b } : { note: `note ${String(b)}` };
}

const change = (world: World, holder: Holder, rec: Rec, b: number): Promise<void> =>
  world.write(holder, () => edit(rec, changesFor(rec, b) as Partial<Values['dog']>), rec);

async function lotAnd(world: World, holder: Holder, a: number): Promise<Rec<'lot'> | undefined> {
  return pick(await world.read(holder, 'lot'), a);
}

/** An op of the server itself, which no phone has to send again. */
function serverOp(rec: Rec, b: number): Op {
  const set = { breed: `by the server ${String(b)}` };
  const seen = { breed: rec.seen['breed']?.shown ?? [] };
  const rest = { device_id: 'server', n: 1, author: 'server', schema: SCHEMA, app: 'server' };
  const where = { household: HOUSEHOLD, entity: rec.entity, rid: rec.rid, new: false, set, seen };
  const when = { occurred_at: START_MS + b, tz: 'UTC', offset_ms: 0 };
  return { op_id: uuid7(), ...rest, ...where, ...when };
}

const PLAYS = {
  'add dog': (world, holder, a) =>
    world.write(holder, () => create('dog', { name: `${pick(NAMES, a) ?? ''} ${String(a)}` })),
  weigh: async (world, holder, a, b) => {
    const dog = pick(await world.read(holder, 'dog'), a);
    if (!dog) return;
    const values = { dog: dog.rid, at: at(b), mass_g: 5000 + b };
    await world.write(holder, () => create('weighing', values));
  },
  'add lot': (world, holder, a) =>
    world.write(holder, () => create('lot', { food: 'usda-05027', pack_mass_g: 100 + a })),
  move: async (world, holder, a, b) => {
    const lot = await lotAnd(world, holder, a);
    if (!lot) return;
    const what = pick(['stored', 'used', 'discarded', 'thawed'] as const, b) ?? 'used';
    const values = { of: lot.rid, what, mass_g: 1 + b, at: at(b) };
    await world.write(holder, () => create('movement', values));
  },
  count: async (world, holder, a, b) => {
    const lot = await lotAnd(world, holder, a);
    if (!lot) return;
    const owned = { of: lot.rid };
    const known = [
      ...(await world.read(holder, 'movement')),
      ...(await world.read(holder, 'count')),
    ].filter((rec) => rec.values.of === lot.rid);
    const values = { ...owned, counted_g: b, knew: known.map((rec) => rec.rid), at: at(b) };
    await world.write(holder, () => create('count', values));
  },
  edit: async (world, holder, a, b) => {
    const rec = await someRecord(world, holder, a);
    if (rec) await change(world, holder, rec, b);
  },
  'open a form': async (world, holder, a) => {
    holder.form = (await someRecord(world, holder, a)) ?? null;
  },
  'save the form': async (world, holder, _a, b) => {
    const { form } = holder;
    holder.form = null;
    if (form) await change(world, holder, form, b);
  },
  delete: async (world, holder, a) => {
    const rec = await someRecord(world, holder, a);
    if (rec) await world.write(holder, () => remove(rec), rec);
  },
  undelete: async (world, holder, a) => {
    const rec = await someRecord(world, holder, a, true);
    if (rec) await world.write(holder, () => restore(rec), rec);
  },
  settle: async (world, holder, a, b) => {
    const rec = pick(await holder.phone.do(conflicts), a);
    const register = pick(
      Object.keys(rec?.also ?? {}).filter((name) => name !== 'deleted'),
      b,
    );
    if (!rec || register === undefined) return;
    const value = pick(rec.also[register] ?? [], b)?.value;
    await world.write(holder, () => resolve(rec, register as never, value), rec);
  },
  'decide on a deletion': async (world, holder, a, b) => {
    const found = pick(await holder.phone.do(outlived), a);
    if (!found) return;
    const { rec } = found;
    if (b % 2 === 0) await world.write(holder, () => restore(rec), rec);
    else await world.write(holder, () => removeWhole(rec.rid), rec);
  },
  sync: (world, holder) => world.sync(holder),
  'sync, cut': (world, holder, a, b) => world.sync(holder, pick(FAULTS, a), b % 4),
  'two tabs sync': async (world, holder, a) => {
    const { phone } = holder;
    const tab = { ...holder, phone: phone.signIn(phone.context.member), rounds: [] };
    await Promise.all([
      world.sync(holder),
      world.sync(tab, a % 3 === 0 ? 'reply lost' : 'none', 1),
    ]);
  },
  'late mail': (world, _holder, a) => world.deliver(a),
  restart: (world, holder) => world.restart(holder),
  wipe: async (world, holder, a) => {
    if (a % 4 === 0) await world.wipe(holder);
  },
  clock: (_world, holder, a) => {
    holder.offset_ms = pick(CLOCKS_MS, a) ?? 0;
    return Promise.resolve();
  },
  backup: (world) => {
    world.backups.push(world.server.backup());
    return Promise.resolve();
  },
  'restore a backup': (world, _holder, a) => {
    const backup = pick(world.backups, a);
    if (backup) world.server.restore(backup);
    world.mayHaveLost ||= backup !== undefined;
    return Promise.resolve();
  },
  'change a role': (world, holder, a) => {
    world.server.roles.set(holder.member, pick(ROLES, a) ?? 'owner');
    return Promise.resolve();
  },
  'remove or invite': ({ server }, holder) => {
    if (!server.removedMembers.delete(holder.member)) server.removedMembers.add(holder.member);
    return Promise.resolve();
  },
  'roll the server back or on': ({ server }) => {
    server.schema = server.schema === SCHEMA ? SCHEMA - 1 : SCHEMA;
    return Promise.resolve();
  },
  'mend a refused one': async (world, holder, a, b) => {
    const entry = pick(await holder.phone.do(refused), a);
    if (!entry || entry.surprise) return;
    const changes = 'name' in entry.set ? { name: `Mended ${String(b)}` } : {};
    await world.write(holder, () => resend(entry, changes));
  },
  'throw one away': async (world, holder, a, b) => {
    const list = await holder.phone.do(b % 2 === 0 ? refused : waiting);
    const entry = pick(list, a);
    if (!entry) return;
    const work = entry.surprise ? acknowledge : discard;
    await world.write(holder, () => work(entry));
  },
  'put back or let go': async (world, holder, a, b) => {
    const lost = pick(await holder.phone.do(losses), a);
    const work = b % 3 === 0 ? dismissLost : putBack;
    if (lost) await world.write(holder, () => work(lost));
  },
  'another signs in': (world, holder, a) => world.restart(holder, pick(MEMBERS, a)),
  'send theirs': (world, holder) => world.write(holder, submitHeld),
  'carry forward': async (world, holder, a) => {
    const all = [...(await world.read(holder, 'lot')), ...(await world.read(holder, 'dog'))];
    const some = all.filter((_, index) => a % (index + 2) !== 0).map(({ rid }) => rid);
    await holder.phone.do(() => carry(some, everythingOf));
  },
  'the server writes': async (world, holder, a, b) => {
    const rec = pick(await world.read(holder, 'dog'), a);
    const isThere = world.server.log.some(({ op, result }) => {
      return op.rid === rec?.rid && result.status === 'applied';
    });
    if (rec && isThere) world.server.write(serverOp(rec, b));
  },
} as const satisfies Record<string, Play>;

export type Kind = keyof typeof PLAYS;

/** How often each is drawn: a run needs something to lose before it is worth losing anything. */
export const WEIGHTS: Readonly<Record<Kind, number>> = {
  'add dog': 3,
  weigh: 3,
  'add lot': 2,
  move: 4,
  count: 2,
  edit: 14,
  'open a form': 2,
  'save the form': 3,
  delete: 3,
  undelete: 2,
  settle: 3,
  'decide on a deletion': 2,
  sync: 9,
  'sync, cut': 10,
  'two tabs sync': 2,
  'late mail': 4,
  restart: 2,
  wipe: 1,
  clock: 2,
  backup: 2,
  'restore a backup': 2,
  'change a role': 2,
  'remove or invite': 1,
  'roll the server back or on': 1,
  'mend a refused one': 3,
  'throw one away': 2,
  'put back or let go': 2,
  'another signs in': 1,
  'carry forward': 4,
  'send theirs': 1,
  'the server writes': 1,
};

export async function play(world: World, [what, phone, a, b]: Step): Promise<void> {
  const holder = world.holder(phone);
  world.tick(holder);
  const step: Play = PLAYS[what];
  await step(world, holder, a, b);
  await checkCarried(holder);
}
