import { expect, test } from 'vitest';
import { kinds, ownerIn, type Register } from './declared.ts';
import source from './kinds.ts?raw';

/** The registers that kinds.ts declares for an interface, from its text. */
function registersTyped(name: string): string[] {
  const body =
    new RegExp(`export interface ${name} \\{\\n([\\s\\S]*?)\\n\\}`).exec(source)?.[1] ?? '';
  return [...body.matchAll(/^ {2}(\w+)\??:/gm)].map(([, register]) => register ?? '').sort();
}

const interfaces = new Map(
  [...source.matchAll(/^ {2}(\w+): (\w+);$/gm)]
    .filter(([, , type]) => source.includes(`export interface ${String(type)} {`))
    .map(([, entity, type]) => [String(entity), String(type)]),
);

test.each(Object.keys(kinds))('%s has the same registers as the server declares', (entity) => {
  const declared = Object.keys(kinds[entity]?.registers ?? {}).sort();
  expect(registersTyped(interfaces.get(entity) ?? '')).toEqual(declared);
});

test.each(Object.entries(kinds))('%s: what is needed is not optional', (entity, kind) => {
  const required = Object.entries(kind?.registers ?? {}).filter(
    ([, register]: [string, Register]) => register.required,
  );
  for (const [name] of required) expect(source).toMatch(new RegExp(`${name}: `));
  expect(interfaces.has(entity)).toBe(true);
});

test('the owner is read from the register that names it', () => {
  expect(ownerIn('weighing', { dog: 'd' })).toBe('d');
  expect(ownerIn('dog', {})).toBeNull();
  expect(ownerIn('collar', { dog: 'd' })).toBeNull();
});
