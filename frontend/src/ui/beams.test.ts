import { describe, expect, it } from 'vitest';
import { along, hasWords, rangeWords, scaleFor, shortFigure, wantsWords } from './beams';

const short = { known: 12, best: 13.5, minimum: 15, maximum: null };

describe('beams', () => {
  it('is long enough for everything it shows and has a handful of ticks', () => {
    for (const values of [[12, 13.5, 15], [4.8, 3, 4.5], [0.02], [60, 250, 220], [2900, 4200]]) {
      const { end, step } = scaleFor(values);
      expect(end).toBeGreaterThan(Math.max(...values));
      expect(end / step).toBeGreaterThanOrEqual(3);
      expect(end / step).toBeLessThanOrEqual(8);
    }
  });

  it('has a scale even with nothing on it', () => {
    expect(scaleFor([0, null]).end).toBeGreaterThan(0);
  });

  it('keeps places on the line', () => {
    expect(along(5, 10)).toBe('50.00%');
    expect(along(15, 10)).toBe('100.00%');
    expect(along(-1, 10)).toBe('0.00%');
  });

  it('says the same in words', () => {
    expect(hasWords(short, 'short', 'mg')).toBe('12 mg, 13.5 at best');
    expect(wantsWords(short, 'mg')).toBe('wants 15 mg or more');
    const unknown = { known: 5.2, best: 8.8, minimum: 7.5, maximum: null };
    expect(hasWords(unknown, 'unknown', 'mg', 1)).toBe('5.2 mg known, up to 8.8');
    expect(hasWords({ ...unknown, best: null }, 'unknown', 'mg', 1)).toBe(
      '5.2 mg known, the rest not',
    );
    const over = { known: 4.8, best: 4.8, minimum: 3, maximum: 4.5 };
    expect(hasWords(over, 'over', 'g', 1)).toBe('4.8 g');
    expect(hasWords({ ...over, best: 6.1 }, 'over', 'g', 1)).toBe('4.8 to 6.1 g');
    expect(wantsWords(over, 'g', 1)).toBe('wants 3.0 to 4.5 g');
    expect(rangeWords({ ...over, minimum: null }, 1)).toBe('4.5 or less');
    expect(rangeWords({ ...over, minimum: null, maximum: null })).toBeNull();
  });

  it('never calls zero what nothing is known of', () => {
    const nothing = { known: null, best: 8.8, minimum: 7.5, maximum: null };
    expect(hasWords(nothing, 'unknown', 'mg', 1)).toBe('nothing known, up to 8.8 mg');
    expect(hasWords({ ...nothing, best: null }, 'unknown', 'mg', 1)).toBe('nothing known');
  });

  it('gives figures the places they bear', () => {
    expect(shortFigure(98.4)).toBe('98.4');
    expect(shortFigure(104.2)).toBe('104');
    expect(shortFigure(0.111)).toBe('0.11');
    expect(shortFigure(0)).toBe('0');
    expect(shortFigure(0.0004, 2)).toBe('under 0.01');
    expect(shortFigure(12)).toBe('12');
  });
});
