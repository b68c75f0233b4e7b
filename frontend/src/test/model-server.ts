/**
 * A server in memory that keeps the rules of the protocol, for tests of the phone.
 *
 * It folds with the same function as the phone; the vectors prove that this is the
 * real server's fold too. Faults are switched on from outside.
 */

import { ApiError, NoAnswer } from '../api/client.ts';
import type { PushBody, SyncServer } from '../api/sync.ts';
import { bodyHash } from '../domain/canonical.ts';
import { kinds, ownerIn } from '../domain/declared.ts';
import { fold, type FoldOp } from '../domain/fold.ts';
import type {
  ChangesReply,
  FirstReply,
  Mark,
  Op,
  PushReply,
  PushResult,
  Row,
} from '../domain/protocol.ts';
import { validate } from '../domain/validate.ts';

interface LogEntry {
  op: Op;
  seq: number;
  token: string;
  hash: string;
  received_at: number;
  result: PushResult;
}

type Call = 'push' | 'changes' | 'first';

const TEN_MINUTES_MS = 600_000;

export class ModelServer implements SyncServer {
  log: LogEntry[] = [];
  seq = 0;
  /** The role of everybody without one of their own in `roles`. */
  role = 'owner';
  /** By member id; see `as`. */
  roles = new Map<string, string>();
  /** Nobody belongs here any more. */
  removed = false;
  removedMembers = new Set<string>();
  /** A rule that the phone does not know: why an op is refused, or null. */
  refuses: (op: Op) => string | null = () => null;
  signedIn = true;
  /** How an op of an older app is read; the log keeps it, and its hash, as it was sent. */
  upcast: (op: Op) => Op = (op) => op;
  schema = 1;
  now = (): number => Date.now();
  requests = 0;
  pageSize = 1000;
  /** Called before a request is worked on, and before its reply goes out. */
  before: (call: Call, body?: PushBody) => void = () => undefined;
  after: (call: Call) => void = () => undefined;
  /** The kinds whose rows a new phone is given first. */
  firstKinds: readonly string[] = [];

  /** The server as one member's phone reaches it. */
  as(member: string): SyncServer {
    return {
      push: (_household, body) => this.#push(member, body),
      changes: (_household, cursor, mark) => this.#changes(member, cursor, mark),
      first: () => this.#first(member),
    };
  }

  roleOf(member: string | null): string {
    return (member === null ? undefined : this.roles.get(member)) ?? this.role;
  }

  push(_household: string, body: PushBody): Promise<PushReply> {
    return this.#push(null, body);
  }

  changes(_household: string, cursor: number, mark: Mark | null): Promise<ChangesReply> {
    return this.#changes(null, cursor, mark);
  }

  #push(member: string | null, body: PushBody): Promise<PushReply> {
    return this.#answer('push', member, body, () => {
      const role = this.roleOf(member);
      this.#check(body.mark, role);
      const token = crypto.getRandomValues(new Uint32Array(1))[0]?.toString(16) ?? '';
      const results = body.ops.map((op) => this.#take(op, token, role));
      const asked = body.ask.flatMap(({ op_id, hash }) => {
        const entry = this.log.find((each) => each.op.op_id === op_id);
        return entry?.result.status === 'applied' && entry.hash === hash
          ? [{ op_id, status: 'applied' as const, seq: entry.seq }]
          : [];
      });
      return { results, asked, mark: this.mark(role), server_time: this.now(), request_id: '' };
    });
  }

  #changes(member: string | null, cursor: number, mark: Mark | null): Promise<ChangesReply> {
    return this.#answer('changes', member, undefined, () => {
      const role = this.roleOf(member);
      this.#check(mark, role);
      const rows = this.visibleRows(role).filter((row) => row.seq > cursor);
      const last = rows[this.pageSize - 1]?.seq;
      const page = last === undefined ? rows : rows.filter((row) => row.seq <= last);
      const more = page.length < rows.length;
      return {
        rows: structuredClone(page),
        cursor: more ? (last ?? 0) : (this.log.at(-1)?.seq ?? 0),
        more,
        mark: this.mark(role),
        server_time: this.now(),
        request_id: '',
      };
    });
  }

  first(): Promise<FirstReply> {
    return this.#first(null);
  }

  #first(member: string | null): Promise<FirstReply> {
    if (this.firstKinds.length === 0) return Promise.reject(new ApiError(404, 'not_found', ''));
    return this.#answer('first', member, undefined, () => {
      const rows = this.visibleRows(this.roleOf(member)).filter(
        (row) => this.firstKinds.includes(row.entity) && !row.gone,
      );
      return { rows: structuredClone(rows), server_time: this.now(), request_id: '' };
    });
  }

  mark(role: string = this.role): Mark {
    const newest = this.log.at(-1);
    return { seq: newest?.seq ?? 0, token: newest?.token ?? '-', role };
  }

  visibleRows(role: string): Row[] {
    return this.rows().filter((row) => kinds[row.entity]?.see.includes(role) ?? true);
  }

  /** The latest state of every record, by seq. */
  rows(): Row[] {
    const byRid = new Map<string, LogEntry[]>();
    for (const entry of this.log) {
      if (entry.result.status !== 'applied') continue;
      byRid.set(entry.op.rid, [...(byRid.get(entry.op.rid) ?? []), entry]);
    }
    const rows = new Map([...byRid].map(([rid, all]) => [rid, this.#fold(rid, all, false)]));
    // Children first: whether one lives decides whether its owner may go.
    const deepestFirst = [...rows.values()].sort((x, y) => level(y.entity) - level(x.entity));
    for (const { rid, del, seq } of deepestFirst) {
      if (Object.keys(del ?? {}).length === 0) continue;
      const children = [...rows.values()].filter((child) => child.owner === rid);
      const hasLive = children.some((child) => !child.gone);
      const row = this.#fold(rid, byRid.get(rid) ?? [], hasLive);
      rows.set(rid, { ...row, seq: Math.max(seq, ...children.map((child) => child.seq)) });
    }
    return [...rows.values()].sort((a, b) => a.seq - b.seq);
  }

  /** A copy of the log, as a backup keeps it. */
  backup(): { log: LogEntry[]; seq: number } {
    return structuredClone({ log: this.log, seq: this.seq });
  }

  restore({ log, seq }: { log: LogEntry[]; seq: number }): void {
    this.log = structuredClone(log);
    this.seq = seq;
  }

  /** An op from elsewhere: another phone, or the server itself. */
  write(op: Op): void {
    this.#take(op, 'e1');
  }

  #fold(rid: string, entries: readonly LogEntry[], hasLiveChildren: boolean): Row {
    const ops = entries.map(({ op: sent, received_at }): FoldOp => {
      const op = this.upcast(sent);
      const clock_ahead = op.occurred_at > received_at + TEN_MINUTES_MS;
      const at = Math.min(op.occurred_at, received_at);
      return {
        op_id: op.op_id,
        author: op.author,
        at,
        new: op.new,
        set: op.set,
        seen: op.seen,
        clock_ahead,
      };
    });
    const folded = fold(null, ops, hasLiveChildren);
    const entity = entries[0]?.op.entity ?? '';
    return {
      rid,
      entity,
      owner: ownerIn(entity, folded.values),
      seq: Math.max(...entries.map(({ seq }) => seq)),
      ...folded,
    };
  }

  async #answer<T>(
    call: Call,
    member: string | null,
    body: PushBody | undefined,
    work: () => T,
  ): Promise<T> {
    this.requests += 1;
    await Promise.resolve();
    if (!this.signedIn) throw new ApiError(403, 'not_authenticated', 'Sign in first.');
    if (this.removed || (member !== null && this.removedMembers.has(member)))
      throw new ApiError(403, 'not_member', 'You no longer belong here.');
    if (this.schema < 1) throw new ApiError(426, 'schema_too_new', 'Update the server.');
    this.before(call, body);
    const reply = work();
    this.after(call);
    return reply;
  }

  #check(mark: Mark | null, role: string): void {
    if (!mark) return;
    if (mark.role !== role) {
      throw new ApiError(410, 'mark_gone', 'Your role changed.', { role: [role] });
    }
    const isKnown =
      (mark.seq === 0 && mark.token === '-') ||
      this.log.some(({ seq, token }) => seq === mark.seq && token === mark.token);
    if (!isKnown) throw new ApiError(410, 'mark_gone', 'The server was restored.');
  }

  #take(op: Op, token: string, role: string = this.role): PushResult {
    this.seq += 1;
    const hash = bodyHash(op);
    const known = this.log.find((entry) => entry.op.op_id === op.op_id);
    if (known && known.hash !== hash) return reject(op, 'op_id_reused', 'Used already.');
    if (known) return known.result;
    const result = this.#judge(this.upcast(op), role);
    if (result.status !== 'wait') {
      const entry = {
        op: structuredClone(op),
        seq: this.seq,
        token,
        hash,
        received_at: this.now(),
        result,
      };
      this.log.push(entry);
    }
    return result;
  }

  #judge(op: Op, role: string): PushResult {
    const kind = kinds[op.entity];
    if (kind && !kind.write.includes(role)) return reject(op, 'forbidden', 'Not your role.');
    const fields = validate(op.entity, op.set, { creating: op.new, now: op.occurred_at });
    if (fields) return { ...reject(op, 'invalid', 'Not allowed.'), fields };
    const why = this.refuses(op);
    if (why !== null) return reject(op, 'invalid', why);
    const owner = ownerIn(op.entity, op.set);
    const missing = [op.new ? null : op.rid, owner].find((rid) => rid && !this.#knows(rid));
    if (missing) return { op_id: op.op_id, status: 'wait', rid: missing };
    return { op_id: op.op_id, status: 'applied', seq: this.seq };
  }

  #knows(rid: string): boolean {
    return this.log.some(({ op, result }) => op.rid === rid && result.status === 'applied');
  }
}

/** How deep a kind sits under owners. */
function level(entity: string): number {
  const kind = kinds[entity];
  const above = kind?.owner ? (kind.registers[kind.owner]?.to ?? []) : [];
  return above.length === 0 ? 0 : 1 + Math.max(...above.map(level));
}

type Rejected = Extract<PushResult, { status: 'rejected' }>;

function reject(op: Op, code: string, message: string): Rejected {
  return { op_id: op.op_id, status: 'rejected', code, message, fields: null };
}

/** The reply gets lost on its way; the server has done its work. */
export function loseReply(): never {
  throw new NoAnswer();
}
