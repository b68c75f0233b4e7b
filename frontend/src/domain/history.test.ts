import { expect, test } from 'vitest';
import { deedsOfRow, stepsOf, type Deed } from './history.ts';
import { fold, type FoldOp } from './fold.ts';

const INES = 'ines';
const CALLUM = 'callum';

function deed(op_id: string, at: number, set: Deed['set'], more: Partial<Deed> = {}): Deed {
  const rest = { by: INES, submitted_by: null, new: false, seen: {}, state: 'in force' as const };
  return { ...rest, op_id, at, set, ...more };
}

const made = deed('a', 1, { name: 'Morag', breed: 'standard schnauzer' }, { new: true });

test('the newest comes first, and says from what to what', () => {
  const renamed = deed('b', 2, { name: 'Morag B' }, { by: CALLUM, seen: { name: ['a'] } });
  const [newest, oldest] = stepsOf([made, renamed]);
  expect(newest).toMatchObject({
    what: 'changed',
    changes: [{ register: 'name', from: ['Morag'], to: 'Morag B', rivals: [] }],
  });
  expect(oldest?.what).toBe('added');
  expect(oldest?.changes.map((change) => change.from)).toEqual([[], []]);
});

test('two who did not know of each other are named beside each other, until one settles it', () => {
  const one = deed('b', 2, { name: 'M.' }, { seen: { name: ['a'] } });
  const other = deed('c', 3, { name: 'Morag C' }, { by: CALLUM, seen: { name: ['a'] } });
  const settled = deed('d', 4, { name: 'M.' }, { seen: { name: ['b', 'c'] } });
  const [last, second, first] = stepsOf([made, one, other, settled]);
  expect(last).toMatchObject({ what: 'settled', changes: [{ from: ['M.', 'Morag C'] }] });
  expect(second?.changes[0]?.rivals).toEqual([{ value: 'M.', by: INES }]);
  expect(first?.changes[0]?.rivals).toEqual([{ value: 'Morag C', by: CALLUM }]);
});

test('equal values are no disagreement', () => {
  const one = deed('b', 2, { name: 'M.' }, { seen: { name: ['a'] } });
  const other = deed('c', 3, { name: 'M.' }, { by: CALLUM, seen: { name: ['a'] } });
  expect(stepsOf([made, one, other])[0]?.changes[0]?.rivals).toEqual([]);
});

test('an op that lists its own forerunner and what that had seen comes from the forerunner', () => {
  const one = deed('b', 2, { name: 'M.' }, { seen: { name: ['a'] } });
  const two = deed('c', 3, { name: 'Mo' }, { seen: { name: ['b', 'a'] } });
  expect(stepsOf([made, one, two])[0]).toMatchObject({
    what: 'changed',
    changes: [{ from: ['M.'] }],
  });
});

test('deleted and brought back', () => {
  const gone = deed('b', 2, { deleted: true }, { seen: { name: ['a'], breed: ['a'] } });
  const back = deed('c', 3, { deleted: false }, { seen: { deleted: ['b'] } });
  expect(stepsOf([made, gone, back]).map((step) => step.what)).toEqual([
    'brought back',
    'deleted',
    'added',
  ]);
});

test('what was never in force is no rival of what was', () => {
  const refused = deed('b', 2, { name: 'x' }, { seen: { name: ['a'] }, state: 'refused' });
  const good = deed('c', 3, { name: 'Mo' }, { seen: { name: ['a'] } });
  const steps = stepsOf([made, refused, good]);
  expect(steps.flatMap((step) => step.changes.flatMap((change) => change.rivals))).toEqual([]);
});

test('where what was seen is not on this phone, from is unknown and not nothing', () => {
  const later = deed('b', 2, { name: 'M.' }, { seen: { name: ['a'] } });
  expect(stepsOf([later])[0]?.changes[0]?.from).toBeNull();
});

test('a row alone tells who wrote what it shows, both sides of a disagreement too', () => {
  const ops: FoldOp[] = [
    { op_id: 'a', author: INES, at: 1, new: true, set: { name: 'Morag', sex: 'female' }, seen: {} },
    { op_id: 'b', author: INES, at: 2, new: false, set: { name: 'M' }, seen: { name: ['a'] } },
    { op_id: 'c', author: CALLUM, at: 3, new: false, set: { name: 'N' }, seen: { name: ['a'] } },
  ];
  const steps = stepsOf(deedsOfRow(fold(null, ops, false)));
  expect(steps.map(({ deed: { by, set } }) => [by, set])).toEqual([
    [CALLUM, { name: 'N' }],
    [INES, { name: 'M' }],
    [INES, { sex: 'female' }],
  ]);
  expect(steps[0]?.changes[0]?.from).toBeNull();
});
