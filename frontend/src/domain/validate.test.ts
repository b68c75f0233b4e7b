import { expect, test } from 'vitest';
import { validate } from './validate.ts';

const NOW = Date.parse('2026-11-25T12:00:00Z');
const DOG = '018f0000-0000-7000-8000-0000000000d1';
const weighing = { dog: DOG, at: '2026-11-25T06:30:00Z', mass_g: 7900 };

function problemOf(entity: string, values: Record<string, unknown>, creating = true): string {
  const errors = validate(entity, values, { creating, now: NOW });
  return Object.values(errors ?? {})
    .flat()
    .join(' ');
}

test('good values pass', () => {
  expect(validate('weighing', weighing, { creating: true, now: NOW })).toBeNull();
  expect(
    validate(
      'dog',
      { name: 'Morag', born: { date: '2014-05-01', estimated: true } },
      { creating: true },
    ),
  ).toBeNull();
  expect(validate('dog', { name: 'Morag', breed: null }, { creating: true })).toBeNull();
});

test('what is needed is asked for, but only of a new record', () => {
  expect(problemOf('weighing', { dog: DOG })).toMatch(/missing/);
  expect(validate('weighing', { note: 'after a walk' })).toBeNull();
});

test('a message names the value, the unit and what is allowed', () => {
  expect(problemOf('weighing', { ...weighing, mass_g: 7.9 })).toBe(
    'Weight is 7.9 g; allowed is 100 to 150000 g.',
  );
});

test.each([
  ['a number as text', { mass_g: '7900' }],
  ['not a number', { mass_g: Number.NaN }],
  ['a moment without a zone', { at: '2026-11-25T06:30:00' }],
  ['the 30th of February', { at: '2026-02-30T06:30:00Z' }],
  ['the day after tomorrow', { at: '2026-11-27T12:00:00Z' }],
  ['an id in capitals', { dog: DOG.toUpperCase() }],
  ['half a character', { note: 'x\ud800' }],
  ['an unknown register', { colour: 'red' }],
])('%s is refused', (_name, wrong) => {
  expect(
    validate('weighing', { ...weighing, ...wrong }, { creating: true, now: NOW }),
  ).not.toBeNull();
});

test('an hour ahead is a clock, not the future', () => {
  expect(
    validate('weighing', { ...weighing, at: '2026-11-25T13:00:00Z' }, { creating: true, now: NOW }),
  ).toBeNull();
});

test('immutable registers cannot be changed', () => {
  expect(problemOf('weighing', { dog: DOG }, false)).toMatch(/cannot be changed/);
});

test('lengths count characters, not the halves of them', () => {
  expect(validate('dog', { name: '\u{1f415}'.repeat(60) }, { creating: true })).toBeNull();
  expect(problemOf('dog', { name: 'x'.repeat(61) })).toMatch(/61 characters; at most 60/);
  expect(problemOf('dog', { name: '   ' })).toMatch(/empty/);
});

test('of what is served exactly one is named', () => {
  const serving = { meal: DOG, dog: DOG, offered_g: 200 };
  expect(
    validate('serving', { ...serving, what: { food: 'usda-05027' } }, { creating: true }),
  ).toBeNull();
  expect(problemOf('serving', { ...serving, what: { food: 'usda-05027', batch: DOG } })).toMatch(
    /exactly one/,
  );
  expect(problemOf('serving', { ...serving, what: { food: null, batch: null } })).toMatch(
    /exactly one/,
  );
});

test('nobody leaves more than was offered, where both are said', () => {
  const serving = { meal: DOG, dog: DOG, what: { batch: DOG }, offered_g: 200 };
  expect(problemOf('serving', { ...serving, left: { g: 250 } })).toMatch(/250; at most 200/);
  expect(validate('serving', { left: { g: 250 } })).toBeNull();
  expect(validate('serving', { ...serving, left: null }, { creating: true })).toBeNull();
});

test('the word of an observation goes with its topic', () => {
  const seen = { dog: DOG, at: weighing.at, topic: 'stool' };
  expect(
    validate(
      'observation',
      { ...seen, word: 'firm', flags: ['mucus'] },
      { creating: true, now: NOW },
    ),
  ).toBeNull();
  expect(problemOf('observation', { ...seen, word: 'bile' })).toMatch(/does not go with stool/);
  expect(problemOf('observation', { ...seen, topic: 'note', flags: ['mucus'] })).toMatch(
    /leave it out/,
  );
});

test('a list says which entry is wrong', () => {
  const batch = { method: 'ground', stage: 'planned' };
  const plan = [
    { food: 'usda-05027', mass_g: 500 },
    { food: 'usda-05027', mass_g: 0 },
  ];
  expect(problemOf('batch', { ...batch, plan })).toMatch(/entry 2 mass is 0 g/);
});

test('less than nothing is refused where the declaration starts at zero', () => {
  const count = { of: DOG, counted_g: -1, knew: [], at: weighing.at };
  expect(problemOf('count', count)).toMatch(/-1 g/);
  expect(validate('count', { ...count, counted_g: 0 }, { creating: true })).toBeNull();
});

test('a kind this build does not know is left to the server', () => {
  expect(validate('collar', { hue: 3 }, { creating: true })).toBeNull();
});

test('pups are of a female that is not spayed', () => {
  const reproduction = { mated_on: '2026-10-01' };
  const fern = { name: 'Fern', sex: 'female', neutered: false, reproduction };
  expect(validate('dog', fern, { creating: true, now: NOW })).toBeNull();
  expect(problemOf('dog', { ...fern, sex: 'male' })).toBe(
    'Mating and pups cannot be noted: only a female that is not spayed has pups. Sex is "male"; ' +
      'it must be "female". Correct one of the two.',
  );
  expect(problemOf('dog', { ...fern, neutered: null })).toContain('Neutered is null');
  // What an edit leaves out it says nothing of.
  expect(validate('dog', { reproduction }, { now: NOW })).toBeNull();
  expect(problemOf('dog', { reproduction, neutered: true }, false)).toContain('cannot be noted');
});

test('the days from mating to weaning follow one another', () => {
  const days = { mated_on: '2026-08-01', whelped_on: '2026-10-03', weaned_on: '2026-09-30' };
  expect(problemOf('dog', { reproduction: days }, false)).toBe(
    'Mating and pups are out of order: weaned on 2026-09-30 lies before whelped on 2026-10-03. ' +
      'Correct one of the two days.',
  );
});

test('the contents of a label cannot pass a hundred per cent', () => {
  const label = { protein_pct: 80, fat_pct: 12, fibre_pct: 3, moisture_pct: 10 };
  expect(problemOf('food', { name: 'Kibble', label })).toMatch(/adds up to 105/);
  const ofDryMatter = { ...label, protein_pct: 70, moisture_pct: 20, basis: 'dry_matter' };
  expect(problemOf('food', { name: 'Kibble', label: ofDryMatter })).toBe('');
});

test('an international unit needs its form, an amount per serving the mass of one', () => {
  const line = { nutrient: 'vitamin_d', amount: 400, unit: 'IU', per: 'serving' };
  const serving = { unit: 'tablet', mass_g: 0.5 };
  expect(problemOf('food', { name: 'D', lines: [line], serving })).toMatch(/needs its form/);
  const whole = { ...line, form: 'cholecalciferol' };
  expect(problemOf('food', { name: 'D', lines: [whole], serving })).toBe('');
  expect(problemOf('food', { name: 'D', lines: [whole] })).toMatch(/needs the serving/);
  expect(problemOf('food', { lines: [whole] }, false)).toBe('');
});
