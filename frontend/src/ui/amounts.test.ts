import { describe, expect, it } from 'vitest';
import { nudge, pressKey, readAmount } from './amounts';

describe('amounts that are typed', () => {
  it('reads a full stop and a comma as the decimal sign, and nothing that is no number', () => {
    expect(readAmount(' 17,4 ')).toBe(17.4);
    expect(readAmount('17.')).toBe(17);
    expect(readAmount('.5')).toBe(0.5);
    for (const wrong of ['', '1.2.3', '12 g', '-3', '1e3']) expect(readAmount(wrong)).toBeNull();
  });

  it('steps to whole steps within the limits', () => {
    const limits = { min: 0, max: 240 };
    expect(nudge(187, 10, limits)).toBe(190);
    expect(nudge(187, -10, limits)).toBe(180);
    expect(nudge(190, 10, limits)).toBe(200);
    expect(nudge(235, 10, limits)).toBe(240);
    expect(nudge(5, -10, limits)).toBe(0);
    expect(nudge(17.4, 0.1, { min: 0, max: 99 })).toBe(17.5);
  });

  it('builds a number key by key', () => {
    const whole = { length: 5, decimals: 0 };
    expect(['4', '1', '2'].reduce((digits, key) => pressKey(digits, key, whole), '')).toBe('412');
    expect(pressKey('412', 'delete', whole)).toBe('41');
    expect(pressKey('412', 'clear', whole)).toBe('');
    expect(pressKey('0', '5', whole)).toBe('5');
    expect(pressKey('12345', '6', whole)).toBe('12345');
    expect(pressKey('12', '.', whole)).toBe('12');
    const tenths = { length: 5, decimals: 1 };
    expect(pressKey('', '.', tenths)).toBe('0.');
    expect(pressKey('17.4', '5', tenths)).toBe('17.4');
  });
});
