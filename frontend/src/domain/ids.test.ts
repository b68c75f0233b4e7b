import { expect, test, vi } from 'vitest';
import { bodyHash, canonical, sameValue, sha256Hex } from './canonical.ts';
import { dutyId, isUuid, mealId, packId, pullId, servingId, slotId, uuid7 } from './ids.ts';

test('a version 7 id carries the time in front and is never the same twice', () => {
  const id = uuid7(0x0192_3456_789a);
  expect(id).toMatch(/^01923456-789a-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$/);
  expect(new Set(Array.from({ length: 1000 }, () => uuid7(1)))).toHaveProperty('size', 1000);
});

test('ids and hashes work where the browser hides what plain http may not have', () => {
  vi.stubGlobal('crypto', {
    getRandomValues: (bytes: Uint8Array) => bytes.fill(7),
  });
  expect(isUuid(uuid7())).toBe(true);
  expect(isUuid(slotId('meal'))).toBe(true);
  vi.unstubAllGlobals();
});

// The digests are the FIPS 180-4 examples "abc" and the empty message.
test('sha-256 of the published examples', () => {
  expect(sha256Hex('abc')).toBe('ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad');
  expect(sha256Hex('')).toBe('e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855');
});

test('a slot id is the start of the sha-256 with version 8 and the variant set in', () => {
  expect(slotId('abc')).toBe('ba7816bf-8f01-8fea-8141-40de5dae2223');
});

test('two phones compute the same slot', () => {
  const meal = mealId('household', 'mealtime', '2026-11-25');
  expect(meal).toBe(slotId('meal', 'household', 'mealtime', '2026-11-25'));
  expect(servingId(meal, 'dog')).toBe(slotId('serving', meal, 'dog'));
  expect(mealId('household', 'mealtime', '2026-11-26')).not.toBe(meal);
  const pull = pullId('lot', 'mealtime', '2026-11-25');
  expect(pull).toBe(slotId('pull', 'lot', 'mealtime', '2026-11-25'));
  expect(packId(pull, 1)).toBe(slotId('thawed', pull, '1'));
  expect(dutyId('rota', '2026-11-25')).toBe(slotId('duty', 'rota', '2026-11-25'));
  expect(packId(pull, 2)).not.toBe(packId(pull, 1));
});

// RFC 8785, section 3.2.2 and 3.2.3.
test('canonical JSON is that of RFC 8785', () => {
  const numbers = [Number('333333333.33333329'), 1e30, 4.5, 2e-3, 0.000000000000000000000000001];
  expect(canonical(numbers)).toBe('[333333333.3333333,1e+30,4.5,0.002,1e-27]');
  expect(canonical({ literals: [null, true, false] })).toBe('{"literals":[null,true,false]}');
  const keys = {
    '\u20ac': 1,
    '\r': 2,
    '\ufb33': 3,
    '1': 4,
    '\ud83d\ude00': 5,
    '\u0080': 6,
    '\u00f6': 7,
  };
  const order = [...canonical(keys).matchAll(/:(\d)/g)].map(([, digit]) => Number(digit));
  expect(order).toEqual([2, 4, 6, 7, 1, 5, 3]);
});

test('the order of keys does not change a hash, a value does', () => {
  expect(bodyHash({ a: 1, b: [2] })).toBe(bodyHash({ b: [2], a: 1 }));
  expect(bodyHash({ a: 1 })).not.toBe(bodyHash({ a: 2 }));
  expect(sameValue({ a: 1, b: 2 }, { b: 2, a: 1 })).toBe(true);
  expect(sameValue(null, undefined)).toBe(true);
  expect(sameValue(1, true)).toBe(false);
});
