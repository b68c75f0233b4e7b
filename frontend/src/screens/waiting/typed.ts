/** Values of a refused entry as text to be changed, and back. */
import { kinds, type Register } from '../../domain/declared';
import { readAmount } from '../../ui/amounts';

const typeable = new Set<Register['type']>([
  'text',
  'int',
  'number',
  'bool',
  'date',
  'time',
  'choice',
  'instant',
]);

/** The value as text, or null when this kind of value cannot be changed by typing. */
export function typedOf(register: Register, value: unknown): string | null {
  if (!typeable.has(register.type) || register.immutable) return null;
  if (value === null || value === undefined) return '';
  return typeof value === 'string' || typeof value === 'number' || typeof value === 'boolean'
    ? String(value)
    : null;
}

export type Typed = { readonly value: unknown; readonly error: null } | { readonly error: string };

export function readTyped(register: Register, text: string): Typed {
  if (text === '') return { value: null, error: null };
  if (register.type === 'bool') return { value: text === 'true', error: null };
  if (register.type !== 'int' && register.type !== 'number') return { value: text, error: null };
  const value = readAmount(text);
  if (value !== null) return { value, error: null };
  const range =
    register.max === undefined
      ? `${register.min ?? 0} or more`
      : `${register.min ?? 0} to ${register.max}`;
  return {
    error: `“${text}” is no number. Give ${range}${register.unit ? ` ${register.unit}` : ''}.`,
  };
}

/** The registers of an entry that can be changed by typing. */
export function fixable(
  entity: string,
  set: Readonly<Record<string, unknown>>,
): [name: string, register: Register][] {
  return Object.entries(kinds[entity]?.registers ?? {}).filter(([name, register]) => {
    const value = set[name];
    if (!(name in set) || typedOf(register, value) === null) return false;
    return register.type !== 'instant' || typeof value === 'string';
  });
}
