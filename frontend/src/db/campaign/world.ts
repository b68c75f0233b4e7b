/** Three phones, one server, and everything that can come between them, for random runs. */

import { vi } from 'vitest';
import { ApiError, NoAnswer } from '../../api/client.ts';
import type { Entity } from '../../domain/kinds.ts';
import { sameValue } from '../../domain/canonical.ts';
import type { Op } from '../../domain/protocol.ts';
import { ModelServer } from '../../test/model-server.ts';
import { CALLUM, INES, Phone } from '../../test/phone.ts';
import { InvalidValues, isLostConnection } from '../errors.ts';
import { records, type Rec } from '../read.ts';
import { Link, type Fault, type Mail } from './link.ts';

export const BETTRYS = '018f0000-0000-7000-8000-0000000000a3';
export const MEMBERS = [INES, CALLUM, BETTRYS] as const;
export const START_MS = Date.parse('2026-11-25T06:00:00Z');
const STEP_MS = 1_000;

/** One phone on the table: the store, who holds it, and how its clock is off. */
export interface Holder {
  phone: Phone;
  /** Whose phone it is; another member may be signed in. */
  member: string;
  offset_ms: number;
  /** A form left open: what it showed stays what its author has seen. */
  form: Rec | null;
  rounds: Promise<void>[];
}

/** An op that a phone has called saved, and what its author really had on screen, by register. */
export interface Confirmed {
  op: Op;
  holder: number;
  saw: Record<string, string[]>;
}

export class World {
  readonly server = new ModelServer();
  readonly mail: Mail = [];
  readonly confirmed = new Map<string, Confirmed>();
  readonly backups: ReturnType<ModelServer['backup']>[] = [];
  holders: Holder[] = [];
  /** An op that was in the log may be nowhere now: its phone was wiped, or the server alone had it. */
  mayHaveLost = false;
  #now = START_MS;

  private constructor() {
    this.server.now = () => this.#now;
    this.server.refuses = ({ set }) => (String(set['name']).startsWith('Bad') ? 'No.' : null);
    this.server.roles.set(BETTRYS, 'partner');
  }

  static async make(phones: number, pageSize: number): Promise<World> {
    const world = new World();
    world.server.pageSize = pageSize;
    for (const member of MEMBERS.slice(0, phones)) {
      const phone = await Phone.open(world.server, member);
      world.holders.push({ phone, member, offset_ms: 0, form: null, rounds: [] });
    }
    return world;
  }

  holder(index: number): Holder {
    const holder = this.holders[index % this.holders.length];
    if (!holder) throw new Error('There is no phone.');
    return holder;
  }

  /** Time passes; from here on it is this phone's clock that counts. */
  tick(holder?: Holder): void {
    this.#now += STEP_MS;
    vi.setSystemTime(this.#now + (holder?.offset_ms ?? 0));
  }

  /** Writes on a phone, and notes what it confirmed and what was on screen for it. */
  async write(holder: Holder, work: () => Promise<unknown>, on?: Rec | null): Promise<void> {
    const before = new Set((await holder.phone.ops()).map((op) => op.op_id));
    const screen = on ?? null;
    try {
      await holder.phone.do(work);
    } catch (error) {
      if (!(error instanceof InvalidValues)) throw error;
    }
    for (const { op_id, body } of await holder.phone.ops()) {
      if (before.has(op_id)) continue;
      const saw = Object.fromEntries(
        Object.keys({ ...body.set, ...body.seen }).map((name) => [
          name,
          seenOnScreen(screen, name, body),
        ]),
      );
      this.confirmed.set(op_id, { op: body, holder: this.holders.indexOf(holder), saw });
    }
  }

  read<E extends Entity>(holder: Holder, entity: E, gone = false): Promise<Rec<E>[]> {
    return holder.phone.do(() => records(entity, { gone }));
  }

  /** A round over a link that may fail; a late reply leaves it under way. */
  async sync(holder: Holder, fault: Fault = 'none', at = 0): Promise<void> {
    const { phone } = holder;
    const link = new Link(this.server.as(phone.context.member), this.mail, fault, at);
    const round = phone.sync(link).catch((error: unknown) => {
      if (!isExpected(error)) throw error;
    });
    if (fault !== 'reply late') return round;
    holder.rounds.push(round);
    await Promise.race([round, settle()]);
  }

  /** The page is closed and opened: rounds, forms and memory are gone, the store stays. */
  async restart(holder: Holder, member: string = holder.phone.context.member): Promise<void> {
    const name = holder.phone.db.name.replace('trencher-', '');
    holder.phone.db.close();
    await Promise.all(this.mailAndRounds(holder));
    holder.phone = await Phone.open(this.server, member, name);
    holder.form = null;
  }

  /** What is still under way for a page that is gone ends without effect. */
  private mailAndRounds(holder: Holder): Promise<void>[] {
    const { rounds } = holder;
    holder.rounds = [];
    return rounds.map((round) => Promise.race([round.catch(() => undefined), settle()]));
  }

  async deliver(index: number): Promise<void> {
    const [letter] = this.mail.splice(index % Math.max(1, this.mail.length), 1);
    await letter?.();
    await settle();
  }

  async wipe(holder: Holder): Promise<void> {
    const index = this.holders.indexOf(holder);
    await this.restart(holder);
    await holder.phone.db.delete();
    holder.phone = await Phone.open(this.server, holder.member);
    for (const [op_id, { holder: of }] of this.confirmed) {
      if (of === index) this.confirmed.delete(op_id);
    }
    this.mayHaveLost = true;
  }

  async end(): Promise<void> {
    for (const holder of this.holders) await holder.phone.db.delete();
  }
}

/** The heads whose value was displayed, for what sets it; all of them for what settles or deletes. */
function seenOnScreen(screen: Rec | null, register: string, { set, seen }: Op): string[] {
  const heads = screen?.seen[register];
  if (!heads) return [];
  const listed = new Set(seen[register] ?? []);
  const isAll = set['deleted'] === true || heads.all.every((id) => listed.has(id));
  return isAll ? heads.all : heads.shown;
}

function isExpected(error: unknown): boolean {
  return error instanceof NoAnswer || error instanceof ApiError || isLostConnection(error);
}

/** Lets everything that can go on without the network do so. */
export async function settle(): Promise<void> {
  for (let turn = 0; turn < 20; turn += 1) await new Promise((resolve) => setTimeout(resolve, 0));
}

/** Distinct values of the heads of a register, by the log alone. */
export function headsByLog(server: ModelServer, rid: string, register: string): Op[] {
  const ops = server.log
    .filter(({ op, result }) => result.status === 'applied' && op.rid === rid && register in op.set)
    .map(({ op }) => op);
  const seen = new Set(
    ops.flatMap((op) => (op.seen[register] ?? []).filter((id) => id !== op.op_id)),
  );
  return ops.filter((op) => !seen.has(op.op_id));
}

export function distinctValues(ops: readonly Op[], register: string): unknown[] {
  const values = ops.map((op) => op.set[register]);
  return values.filter((value, at) => values.findIndex((other) => sameValue(other, value)) === at);
}
