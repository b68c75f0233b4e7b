/** Checks values against the declarations of kinds.gen.json, as the server does. */

import { DELETED, kinds, type Check, type Kind, type Register } from './declared.ts';
import { isUuid } from './ids.ts';

/** Register → what is wrong with it, in sentences. */
export type FieldErrors = Record<string, string[]>;

export interface ValidateOptions {
  /** Whether the values make a new record: then the required registers must be there. */
  creating?: boolean;
  /** When it is being said, epoch milliseconds: for "not in the future". */
  now?: number;
}

const DAY_MS = 24 * 60 * 60 * 1000;
const DATE = /^(\d{4})-(\d{2})-(\d{2})$/;
const INSTANT = /^(\d{4}-\d{2}-\d{2})T([01]\d|2[0-3]):[0-5]\d:[0-5]\d(\.\d{1,3})?Z$/;
const TIME = /^([01]\d|2[0-3]):[0-5]\d$/;
/** No database keeps NUL or half of a surrogate pair. */
const UNSTORABLE = /[\0\ud800-\udfff]/u;

function isDate(text: string): boolean {
  const parts = DATE.exec(text);
  if (!parts) return false;
  const [year, month, day] = parts.slice(1).map(Number) as [number, number, number];
  const date = new Date(Date.UTC(year, month - 1, day));
  return year >= 1900 && date.getUTCMonth() === month - 1 && date.getUTCDate() === day;
}

function isInstant(text: string): boolean {
  const parts = INSTANT.exec(text);
  return parts?.[1] !== undefined && isDate(parts[1]);
}

function isRecord(value: unknown): value is Record<string, unknown> {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}

function shown(value: unknown): string {
  const text = JSON.stringify(value) ?? 'nothing';
  return text.length > 60 ? `${text.slice(0, 57)}...` : text;
}

function withUnit(amount: number, register: Pick<Register, 'unit'>): string {
  return register.unit ? `${String(amount)} ${register.unit}` : String(amount);
}

function range({ min, max, ...register }: Register): string {
  if (max === undefined) return `${withUnit(min ?? 0, register)} or more`;
  return min === undefined
    ? `up to ${withUnit(max, register)}`
    : `${String(min)} to ${withUnit(max, register)}`;
}

type Problem = string | null;

function checkNumber(register: Register, value: unknown): Problem {
  if (typeof value !== 'number' || !Number.isFinite(value)) {
    return `is ${shown(value)}; give a number, ${range(register)}.`;
  }
  if (register.type === 'int' && !Number.isSafeInteger(value)) {
    return `is ${shown(value)}; give a whole number, ${range(register)}.`;
  }
  const isInside = value >= (register.min ?? -Infinity) && value <= (register.max ?? Infinity);
  return isInside ? null : `is ${withUnit(value, register)}; allowed is ${range(register)}.`;
}

function checkText(register: Register, value: unknown): Problem {
  if (typeof value !== 'string') return `is ${shown(value)}; give a text.`;
  if (UNSTORABLE.test(value)) return 'has a character that cannot be stored; remove it.';
  if ([...value.trim()].length < (register.min_length ?? 0)) {
    return register.min_length === 1
      ? 'is empty; write something.'
      : `is ${shown(value)}; write at least ${String(register.min_length)} characters.`;
  }
  const length = [...value].length;
  return length > (register.max_length ?? Infinity)
    ? `has ${String(length)} characters; at most ${String(register.max_length)} are kept.`
    : null;
}

function checkMoment(register: Register, value: unknown, now: number): Problem {
  const isDay = register.type === 'date';
  const isWellFormed = typeof value === 'string' && (isDay ? isDate(value) : isInstant(value));
  if (!isWellFormed) {
    const wanted = isDay ? 'a day like 2026-11-25' : 'a moment like 2026-11-25T06:30:00Z';
    return `is ${shown(value)}; give ${wanted}.`;
  }
  if (register.not_future && Date.parse(value) > now + DAY_MS) {
    return `is ${value}, which lies in the future; give a day up to today.`;
  }
  return null;
}

function checkList(register: Register, value: unknown, now: number): Problem {
  if (!Array.isArray(value)) return `is ${shown(value)}; give a list.`;
  if (value.length > (register.max_length ?? Infinity)) {
    return `has ${String(value.length)} entries; at most ${String(register.max_length)} are kept.`;
  }
  if (value.length < (register.min_length ?? 0)) {
    return `has ${String(value.length)} entries; give at least ${String(register.min_length)}.`;
  }
  const item = register.item;
  if (!item) return null;
  for (const [index, entry] of value.entries()) {
    const problem = checkValue(item, entry, now);
    if (problem) return `entry ${String(index + 1)} ${problem}`;
  }
  return null;
}

function checkObject(register: Register, value: unknown, now: number): Problem {
  if (!isRecord(value)) return `is ${shown(value)}; give its parts.`;
  const fields = register.fields ?? {};
  for (const key of Object.keys(value)) {
    if (!(key in fields)) return `has a part ${shown(key)} that is not known.`;
  }
  for (const [key, field] of Object.entries(fields)) {
    const problem = checkValue(field, value[key] ?? null, now);
    if (problem) return `${field.label ?? key} ${problem}`;
  }
  if (register.exactly_one) {
    const given = Object.values(value).filter((part) => part !== null && part !== undefined);
    if (given.length !== 1) {
      return `has ${String(given.length)} of ${Object.keys(fields).join(', ')}; give exactly one.`;
    }
  }
  return null;
}

function checkMap(register: Register, value: unknown, now: number): Problem {
  if (!isRecord(value)) return `is ${shown(value)}; give amounts by name.`;
  if (Object.keys(value).length > (register.max_length ?? Infinity)) {
    return `has too many entries; at most ${String(register.max_length)} are kept.`;
  }
  for (const [key, entry] of Object.entries(value)) {
    const problem = register.item ? checkValue(register.item, entry, now) : null;
    if (problem) return `${key} ${problem}`;
  }
  return null;
}

function checkValue(register: Register, value: unknown, now: number): Problem {
  if (value === null || value === undefined) {
    return register.required ? 'is missing; it is needed.' : null;
  }
  switch (register.type) {
    case 'int':
    case 'number':
      return checkNumber(register, value);
    case 'text':
      return checkText(register, value);
    case 'bool':
      return typeof value === 'boolean' ? null : `is ${shown(value)}; give true or false.`;
    case 'date':
    case 'instant':
      return checkMoment(register, value, now);
    case 'time':
      return typeof value === 'string' && TIME.test(value)
        ? null
        : `is ${shown(value)}; give a time like 06:30.`;
    case 'choice':
      return register.choices?.includes(value as string)
        ? null
        : `is ${shown(value)}; choose one of ${(register.choices ?? []).join(', ')}.`;
    case 'ref':
      return isUuid(value) ? null : `is ${shown(value)}; give the id of a record.`;
    case 'list':
      return checkList(register, value, now);
    case 'object':
      return checkObject(register, value, now);
    case 'json':
      return checkMap(register, value, now);
  }
}

function at(values: Readonly<Record<string, unknown>>, path: string): unknown {
  return path
    .split('.')
    .reduce<unknown>((value, part) => (isRecord(value) ? value[part] : undefined), values);
}

type Values = Readonly<Record<string, unknown>>;

function checkOnlyWith(
  kind: Kind,
  check: Extract<Check, { type: 'only_with' }>,
  values: Values,
  isNew: boolean,
): Problem {
  const value = values[check.register];
  if (value === null || value === undefined) return null;
  // An edit says nothing of what it leaves out; a new record has nothing else.
  const wrong = Object.entries(check.words).find(
    ([name, word]) => (isNew || name in values) && values[name] !== word,
  );
  if (!wrong) return null;
  const [name, word] = wrong;
  const label = kind.registers[name]?.label ?? name;
  return (
    `cannot be noted: ${check.why} ${capital(label)} is ${shown(values[name] ?? null)}; it must ` +
    `be ${shown(word)}. Correct one of the two.`
  );
}

function checkInOrder(
  kind: Kind,
  check: Extract<Check, { type: 'in_order' }>,
  values: Values,
): Problem {
  const group = values[check.register];
  if (!isRecord(group)) return null;
  const fields = kind.registers[check.register]?.fields ?? {};
  const days = check.parts.flatMap((part) => {
    const day = group[part];
    return typeof day === 'string' ? [{ label: fields[part]?.label ?? part, day }] : [];
  });
  for (const [index, later] of days.entries()) {
    const earlier = days[index - 1];
    if (earlier && later.day < earlier.day) {
      return (
        `are out of order: ${later.label} ${later.day} lies before ${earlier.label} ` +
        `${earlier.day}. Correct one of the two days.`
      );
    }
  }
  return null;
}

type SumCheck = Extract<Check, { type: 'sum_at_most' }>;
type NeedsCheck = Extract<Check, { type: 'needs' }>;

function checkSum(check: SumCheck, values: Values): Problem {
  const group = values[check.register];
  if (!isRecord(group)) return null;
  if (check.unless && group[check.unless[0]] === check.unless[1]) return null;
  const total = check.parts.reduce((sum, part) => {
    const amount = group[part];
    return typeof amount === 'number' ? sum + amount : sum;
  }, 0);
  return total <= check.limit
    ? null
    : `adds up to ${String(Math.round(total * 10) / 10)}; at most ${String(check.limit)} is possible. Check each figure.`;
}

function checkNeeds(check: NeedsCheck, values: Values, creating: boolean): Problem {
  const entries: unknown = values[check.register];
  if (!Array.isArray(entries)) return null;
  const [part, word] = check.when;
  const found = (entries as unknown[]).filter((entry) => isRecord(entry) && entry[part] === word);
  if (check.part !== undefined) {
    const needed = check.part;
    const wanting = found.find((entry) => isRecord(entry) && (entry[needed] ?? null) === null);
    return wanting === undefined
      ? null
      : `has an entry with ${part} ${word} that needs its ${needed}; say which.`;
  }
  const other = check.other ?? '';
  const isKnown = (values[other] ?? null) !== null || (!creating && !(other in values));
  return found.length === 0 || isKnown
    ? null
    : `has an entry with ${part} ${word}, which needs the ${other}; give it too.`;
}

/** A rule across registers holds only where the values carry both of them. */
function checkRule(kind: Kind, check: Check, values: Values, isNew: boolean): Problem {
  if (check.type === 'only_with') return checkOnlyWith(kind, check, values, isNew);
  if (check.type === 'in_order') return checkInOrder(kind, check, values);
  if (check.type === 'sum_at_most') return checkSum(check, values);
  if (check.type === 'needs') return checkNeeds(check, values, isNew);
  if (check.type === 'at_most') {
    const [value, limit] = [at(values, check.register), at(values, check.limit)];
    const isOver = typeof value === 'number' && typeof limit === 'number' && value > limit;
    return isOver ? `is ${String(value)}; at most ${String(limit)} is possible here.` : null;
  }
  const [value, by] = [values[check.register], values[check.by]];
  if (value === null || value === undefined || typeof by !== 'string') return null;
  const allowed = check.choices[by] ?? [];
  const chosen: unknown[] = Array.isArray(value) ? value : [value];
  const wrong = chosen.find((word) => !allowed.includes(word as string));
  if (wrong === undefined) return null;
  const choices = allowed.length > 0 ? `choose from ${allowed.join(', ')}` : 'leave it out';
  return `is ${shown(wrong)}, which does not go with ${by}; ${choices}.`;
}

/**
 * What is wrong with the values of a new record, or with changes to one; null if nothing.
 *
 * An entity this build does not know is accepted: the server decides.
 */
export function validate(
  entity: string,
  values: Readonly<Record<string, unknown>>,
  { creating = false, now = Date.now() }: ValidateOptions = {},
): FieldErrors | null {
  const kind = kinds[entity];
  if (!kind) return null;
  const errors: FieldErrors = {};
  const add = (register: string, problem: Problem, label: string): void => {
    if (problem) (errors[register] ??= []).push(`${capital(label)} ${problem}`);
  };
  for (const [name, value] of Object.entries(values)) {
    const register = name === 'deleted' ? DELETED : kind.registers[name];
    if (!register) add(name, 'is not known here.', name);
    else if (register.immutable && !creating)
      add(name, 'cannot be changed.', register.label ?? name);
    else add(name, checkValue(register, value, now), register.label ?? name);
  }
  for (const [name, register] of Object.entries(kind.registers)) {
    if (creating && register.required && !(name in values)) {
      add(name, 'is missing; it is needed.', register.label ?? name);
    }
  }
  for (const check of kind.checks) {
    const name = check.register.split('.')[0] ?? check.register;
    add(name, checkRule(kind, check, values, creating), kind.registers[name]?.label ?? name);
  }
  return Object.keys(errors).length > 0 ? errors : null;
}

function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
