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
import type { ChangesReply, Mark, Op, PushReply, PushResult, Row } from '../domain/protocol.ts';
import { validate } from '../domain/validate.ts';

interface LogEntry {
  op: Op;
  seq: number;
  token: string;
  hash: string;
  received_at: number;
  result: PushResult;
}

const TEN_MINUTES_MS = 600_000;

export class ModelServer implements SyncServer {
  log: LogEntry[] = [];
  seq = 0;
  /** Role by member id; the phone that asks is told apart by `as`. */
  role = 'owner';
  removed = false;
  signedIn = true;
  schema = 1;
  now = (): number => Date.now();
  requests = 0;
  pageSize = 1000;
  /** Called before a request is worked on, and before its reply goes out. */
  before: (call: 'push' | 'changes', body?: PushBody) => void = () => undefined;
  after: (call: 'push' | 'changes') => void = () => undefined;

  push(_household: string, body: PushBody): Promise<PushReply> {
    return this.#answer('push', body, () => {
      this.#check(body.mark);
      const token = crypto.getRandomValues(new Uint32Array(1))[0]?.toString(16) ?? '';
      const results = body.ops.map((op) => this.#take(op, token));
      const asked = body.ask.flatMap(({ op_id, hash }) => {
        const entry = this.log.find((each) => each.op.op_id === op_id);
        return entry?.result.status === 'applied' && entry.hash === hash
          ? [{ op_id, status: 'applied' as const, seq: entry.seq }]
          : [];
      });
      return { results, asked, mark: this.mark(), server_time: this.now(), request_id: '' };
    });
  }

  changes(_household: string, cursor: number, mark: Mark | null): Promise<ChangesReply> {
    return this.#answer('changes', undefined, () => {
      this.#check(mark);
      const rows = this.rows().filter((row) => row.seq > cursor && this.#isVisible(row));
      const last = rows[this.pageSize - 1]?.seq;
      const page = last === undefined ? rows : rows.filter((row) => row.seq <= last);
      const more = page.length < rows.length;
      return {
        rows: structuredClone(page),
        cursor: more ? (last ?? 0) : (this.log.at(-1)?.seq ?? 0),
        more,
        mark: this.mark(),
        server_time: this.now(),
        request_id: '',
      };
    });
  }

  mark(): Mark {
    const newest = this.log.at(-1);
    return { seq: newest?.seq ?? 0, token: newest?.token ?? '-', role: this.role };
  }

  /** The latest state of every record, by seq. */
  rows(): Row[] {
    const byRid = new Map<string, LogEntry[]>();
    for (const entry of this.log) {
      if (entry.result.status !== 'applied') continue;
      byRid.set(entry.op.rid, [...(byRid.get(entry.op.rid) ?? []), entry]);
    }
    const rows = new Map<string, Row>();
    // Children first: whether one lives decides whether its owner may go.
    for (const rid of [...byRid.keys()].reverse()) {
      const entries = byRid.get(rid) ?? [];
      rows.set(rid, this.#fold(rid, entries, false));
    }
    for (const [rid, row] of rows) {
      const children = [...rows.values()].filter((child) => child.owner === rid);
      const hasLive = children.some((child) => !child.gone);
      if (hasLive) rows.set(rid, this.#fold(rid, byRid.get(rid) ?? [], true));
      const seq = Math.max(row.seq, ...children.map((child) => child.seq));
      if (Object.keys(row.del ?? {}).length > 0) (rows.get(rid) ?? row).seq = seq;
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
    const ops = entries.map(({ op, received_at }): FoldOp => {
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

  #isVisible(row: Row): boolean {
    return kinds[row.entity]?.see.includes(this.role) ?? true;
  }

  async #answer<T>(
    call: 'push' | 'changes',
    body: PushBody | undefined,
    work: () => T,
  ): Promise<T> {
    this.requests += 1;
    await Promise.resolve();
    if (!this.signedIn) throw new ApiError(403, 'not_authenticated', 'Sign in first.');
    if (this.removed) throw new ApiError(403, 'not_member', 'You no longer belong here.');
    if (this.schema < 1) throw new ApiError(426, 'schema_too_new', 'Update the server.');
    this.before(call, body);
    const reply = work();
    this.after(call);
    return reply;
  }

  #check(mark: Mark | null): void {
    if (!mark) return;
    if (mark.role !== this.role) {
      throw new ApiError(410, 'mark_gone', 'Your role changed.', { role: [this.role] });
    }
    const isKnown =
      (mark.seq === 0 && mark.token === '-') ||
      this.log.some(({ seq, token }) => seq === mark.seq && token === mark.token);
    if (!isKnown) throw new ApiError(410, 'mark_gone', 'The server was restored.');
  }

  #take(op: Op, token: string): PushResult {
    this.seq += 1;
    const hash = bodyHash(op);
    const known = this.log.find((entry) => entry.op.op_id === op.op_id);
    if (known && known.hash !== hash) return reject(op, 'op_id_reused', 'Used already.');
    if (known) return known.result;
    const result = this.#judge(op);
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

  #judge(op: Op): PushResult {
    const kind = kinds[op.entity];
    if (kind && !kind.write.includes(this.role)) return reject(op, 'forbidden', 'Not your role.');
    const fields = validate(op.entity, op.set, { creating: op.new, now: op.occurred_at });
    if (fields) return { ...reject(op, 'invalid', 'Not allowed.'), fields };
    const owner = ownerIn(op.entity, op.set);
    const missing = [op.new ? null : op.rid, owner].find((rid) => rid && !this.#knows(rid));
    if (missing) return { op_id: op.op_id, status: 'wait', rid: missing };
    return { op_id: op.op_id, status: 'applied', seq: this.seq };
  }

  #knows(rid: string): boolean {
    return this.log.some(({ op, result }) => op.rid === rid && result.status === 'applied');
  }
}

type Rejected = Extract<PushResult, { status: 'rejected' }>;

function reject(op: Op, code: string, message: string): Rejected {
  return { op_id: op.op_id, status: 'rejected', code, message, fields: null };
}

/** The reply gets lost on its way; the server has done its work. */
export function loseReply(): never {
  throw new NoAnswer();
}
