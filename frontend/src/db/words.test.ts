import { expect, test } from 'vitest';
import { kinds } from '../domain/declared.ts';
import { ModelServer } from '../test/model-server.ts';
import { Phone } from '../test/phone.ts';
import { record } from './read.ts';
import { waiting } from './tray.ts';
import { inWords } from './words.ts';
import { create, edit, remove, restore } from './write.ts';

const AT = '2026-11-25T06:30:00Z';

test('an entry says what, whose and how much', async () => {
  const phone = await Phone.open(new ModelServer());
  const dog = await phone.do(() => create('dog', { name: 'Morag' }));
  await phone.do(() => create('weighing', { dog, at: AT, mass_g: 7900, note: null }));
  const [, entry] = await phone.do(() => waiting());
  expect(entry).toMatchObject({ kind: 'weighing', verb: 'added', subject: 'Morag', held: false });
  expect(entry?.details).toContainEqual({ register: 'mass_g', label: 'weight', value: '7900 g' });
  // Its note was left empty, which is nothing to say; a name taken out is.
  expect(entry?.details.map((detail) => detail.register)).toEqual(['at', 'mass_g']);
  const shown = await phone.do(() => record('dog', dog));
  if (!shown) throw new Error('no dog');
  await phone.do(() => edit(shown, { breed: 'whippet' }));
  const named = await phone.do(() => record('dog', dog));
  if (!named) throw new Error('no dog');
  await phone.do(() => edit(named, { breed: null }));
  const emptied = (await phone.do(() => waiting())).at(-1);
  expect(emptied?.details).toEqual([{ register: 'breed', label: 'breed', value: 'nothing' }]);
});

test('changed, deleted and brought back have their words', async () => {
  const phone = await Phone.open(new ModelServer());
  const dog = await phone.do(() => create('dog', { name: 'Morag' }));
  const read = async () => {
    const found = await phone.do(() => record('dog', dog));
    if (!found) throw new Error('no dog');
    return found;
  };
  const first = await read();
  await phone.do(() => edit(first, { breed: 'standard schnauzer' }));
  const second = await read();
  await phone.do(() => remove(second));
  const third = await read();
  await phone.do(() => restore(third));
  const entries = await phone.do(() => waiting());
  expect(entries.map((entry) => entry.verb)).toEqual([
    'added',
    'changed',
    'deleted',
    'brought back',
  ]);
});

test('values are said in words, units and names', () => {
  const names = (rid: string): string | null => (rid === 'd1' ? 'Tansy' : null);
  const say = (entity: string, register: string, value: unknown): string => {
    const declared = kinds[entity]?.registers[register];
    if (!declared) throw new Error(`${entity} has no ${register}`);
    return inWords(declared, value, names);
  };
  expect(say('preference', 'standard', 'nrc-2006')).toBe('NRC 2006');
  expect(say('dog', 'activity', 'working')).toBe('working');
  expect(say('observation', 'word', 'soft_heap')).toBe('soft heap');
  expect(say('observation', 'flags', ['fresh_blood', 'mucus'])).toBe('fresh blood, mucus');
  expect(say('observation', 'flags', [])).toBe('none');
  expect(say('batch', 'dogs', ['d1', 'd2'])).toBe('Tansy, an entry');
  expect(say('serving', 'left', { g: 30, share: null })).toBe('left 30 g');
  expect(say('dog', 'neutered', false)).toBe('no');
  expect(say('dog', 'breed', null)).toBe('nothing');
  expect(say('lot', 'price', { minor: 1250, currency: 'GBP' })).toContain('GBP');
});
