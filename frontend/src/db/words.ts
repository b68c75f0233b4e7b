/** An op in words, for What is waiting and for the tray. */

import { kinds, type Register } from '../domain/declared.ts';
import type { Refusal, StoredOp } from './schema.ts';

export interface Detail {
  register: string;
  label: string;
  value: string;
}

/** One entry of this phone, as a person reads it. */
export interface Entry {
  op_id: string;
  rid: string;
  entity: string;
  /** "weighing", "meal". */
  kind: string;
  verb: 'added' | 'changed' | 'deleted' | 'brought back';
  /** Whose or which it is, where a name is known: "Morag". */
  subject: string | null;
  details: Detail[];
  /** Epoch milliseconds. */
  occurred_at: number;
  /** The member who entered it. */
  author: string;
  state: StoredOp['state'];
  /** Entered by another member of this phone; not sent before somebody says yes. */
  held: boolean;
  /** Sent, but the server lacks the record it belongs to. */
  waits: boolean;
  /** Discarded here and found in force at the server. */
  surprise: boolean;
  /** It failed alone at the server, and goes last. */
  poison: boolean;
  refusal: Refusal | null;
  set: Record<string, unknown>;
  /** What the records it mentions are called. */
  naming: Naming;
}

/** Made once: making one costs more than a thousand uses of it. */
const MOMENT = new Intl.DateTimeFormat(undefined, { dateStyle: 'medium', timeStyle: 'short' });

/** The name of a record by id, if this phone knows one. */
export type Naming = (rid: string) => string | null;

function isRecord(value: unknown): value is Record<string, unknown> {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}

function plain(text: string): string {
  return text.replaceAll('_', ' ');
}

/** "nrc-2006" is the key of an edition; people call it NRC 2006. */
function edition(text: string): string {
  return text.replace(/^([a-z]+)-(\d{4})$/, (_, who: string, year: string) => {
    return `${who.toUpperCase()} ${year}`;
  });
}

function inList(register: Register, value: readonly unknown[], naming: Naming): string {
  const item = register.item;
  if (value.length === 0) return 'none';
  if (!item || value.length > 8) return `${String(value.length)} entries`;
  return value.map((entry) => inWords(item, entry, naming)).join(', ');
}

function inParts(register: Register, value: Record<string, unknown>, naming: Naming): string {
  return Object.entries(value)
    .filter(([, part]) => part !== null && part !== undefined)
    .map(([key, part]) => {
      const field = register.fields?.[key] ?? register.item;
      const words = field ? inWords(field, part, naming) : JSON.stringify(part);
      return `${field?.label ?? plain(key)} ${words}`;
    })
    .join(', ');
}

/** A value of a register in words; a time is given in this phone's zone. */
export function inWords(register: Register, value: unknown, naming: Naming): string {
  if (value === null || value === undefined) return 'nothing';
  if (Array.isArray(value)) return inList(register, value, naming);
  if (isRecord(value)) return inParts(register, value, naming);
  if (typeof value === 'string') return textInWords(register, value, naming);
  if (typeof value === 'boolean') return value ? 'yes' : 'no';
  const figure = JSON.stringify(value);
  return register.unit ? `${figure} ${register.unit}` : figure;
}

function textInWords(register: Register, text: string, naming: Naming): string {
  if (register.type === 'choice') return plain(edition(text));
  if (register.type === 'ref') return naming(text) ?? 'an entry';
  if (register.type !== 'instant') return text;
  return MOMENT.format(new Date(text));
}

function verbOf(op: StoredOp): Entry['verb'] {
  if (op.body.set['deleted'] === true) return 'deleted';
  if (op.body.set['deleted'] === false) return 'brought back';
  return op.body.new ? 'added' : 'changed';
}

export function toEntry(op: StoredOp, held: boolean, naming: Naming): Entry {
  const kind = kinds[op.entity];
  const details = Object.entries(op.body.set)
    .filter(([name]) => name !== 'deleted' && name !== kind?.owner)
    // What a new record leaves empty says nothing; emptied later, it does.
    .filter(([, value]) => !op.body.new || (value !== null && value !== undefined))
    .map(([name, value]) => {
      const register = kind?.registers[name];
      const words = register ? inWords(register, value, naming) : JSON.stringify(value);
      return { register: name, label: register?.label ?? plain(name), value: words };
    });
  return {
    op_id: op.op_id,
    rid: op.rid,
    entity: op.entity,
    kind: kind?.label ?? plain(op.entity),
    verb: verbOf(op),
    subject: naming(op.rid),
    details,
    occurred_at: op.body.occurred_at,
    author: op.author,
    state: op.state,
    held,
    waits: op.state === 'wait',
    surprise: op.surprise === 1,
    poison: op.poison === true,
    refusal: op.refusal ?? null,
    set: op.body.set,
    naming,
  };
}
