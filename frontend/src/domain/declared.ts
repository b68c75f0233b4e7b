/** The declarations of kinds.gen.json, typed. An entity this build does not know is kept, unread. */

import exported from './kinds.gen.json' with { type: 'json' };

export interface Register {
  type:
    | 'text'
    | 'int'
    | 'number'
    | 'bool'
    | 'date'
    | 'instant'
    | 'time'
    | 'choice'
    | 'ref'
    | 'list'
    | 'object'
    | 'json';
  label?: string;
  unit?: string;
  min?: number;
  max?: number;
  min_length?: number;
  max_length?: number;
  choices?: string[];
  item?: Register;
  fields?: Record<string, Register>;
  exactly_one?: boolean;
  required?: boolean;
  immutable?: boolean;
  not_future?: boolean;
  nullable?: boolean;
  to?: string[];
}

export type Check =
  | { type: 'at_most'; register: string; limit: string }
  | { type: 'choice_by'; register: string; by: string; choices: Record<string, string[]> }
  | { type: 'only_with'; register: string; words: Record<string, string | boolean>; why: string }
  | { type: 'in_order'; register: string; parts: string[] }
  | {
      type: 'sum_at_most';
      register: string;
      parts: string[];
      limit: number;
      unless?: [string, string];
    }
  | { type: 'needs'; register: string; when: [string, string]; part?: string; other?: string };

export interface Kind {
  app: string;
  label: string;
  owner: string | null;
  write: string[];
  see: string[];
  registers: Record<string, Register>;
  checks: Check[];
}

export const kinds = exported.kinds as unknown as Readonly<Record<string, Kind | undefined>>;

/** The register every kind has without declaring it. */
export const DELETED: Register = { type: 'bool', label: 'deleted', required: true };

/** The id of the record that owns this one, from its own values. */
export function ownerIn(entity: string, values: Readonly<Record<string, unknown>>): string | null {
  const register = kinds[entity]?.owner;
  const owner = register ? values[register] : undefined;
  return typeof owner === 'string' ? owner : null;
}
