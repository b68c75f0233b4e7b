import { describe, expect, it } from 'vitest';
import { trendLine, trendOf, trendSentence, weighedOn, type Weighed } from './trend';

const DAY = 86_400_000;

function weighed(days: readonly number[], masses: readonly number[]): Weighed[] {
  return days.map((day, index) => ({ at: day * DAY, mass_g: masses[index] ?? 0 }));
}

const losing = weighed(
  [0, 7, 13, 22, 28, 35, 43, 49, 56, 64, 70, 77],
  [18150, 18050, 18100, 17950, 18000, 17850, 17900, 17750, 17600, 17650, 17500, 17400],
);

describe('the trend of a weight', () => {
  // Expected: scipy.stats.theilslopes(masses, days / 7, 0.95), SciPy 1.17.1.
  it('agrees with SciPy on twelve weighings', () => {
    const trend = trendOf(losing);
    expect(trend?.slope).toBeCloseTo(-65.3125, 6);
    expect(trend?.low).toBeCloseTo(-83.33333333333333, 6);
    expect(trend?.high).toBeCloseTo(-50, 6);
  });

  it('agrees with SciPy on four, and with ties', () => {
    const four = trendOf(weighed([0, 7, 14, 21], [9000, 9100, 9050, 9200]));
    expect([four?.slope, four?.low, four?.high]).toEqual(
      [175 / 3, -50, 150].map((value) => expect.closeTo(value, 6) as number),
    );
    const tied = trendOf(
      weighed([0, 5, 10, 15, 20, 30], [12000, 12010, 11990, 12000, 12020, 12000]),
    );
    expect([tied?.slope, tied?.low, tied?.high]).toEqual(
      [0, -7, 14].map((value) => expect.closeTo(value, 6) as number),
    );
  });

  it('does not depend on the order of the weighings', () => {
    expect(trendOf([...losing].reverse())).toEqual(trendOf(losing));
  });

  it('waits for three weighings over two weeks', () => {
    expect(trendOf(losing.slice(0, 2))).toBeNull();
    expect(trendOf(weighed([0, 1, 2], [1000, 1010, 1020]))).toBeNull();
    expect(trendOf([])).toBeNull();
  });

  it('counts two weights of one day as one day', () => {
    const twice = [
      weighedOn('2026-11-02', 9900),
      weighedOn('2026-11-02', 10000),
      weighedOn('2026-11-16', 9950),
    ];
    expect(trendOf(twice)).toBeNull();
    expect(trendOf([...twice, weighedOn('2026-11-09', 9950)])).not.toBeNull();
  });

  it('is hardly moved by one weighing with a foot on the floor', () => {
    const odd = losing.map((point, index) => (index === 5 ? { ...point, mass_g: 9000 } : point));
    expect(Math.abs((trendOf(odd)?.slope ?? 0) - (trendOf(losing)?.slope ?? 0))).toBeLessThan(10);
  });

  it('speaks of a trend only when the interval leaves out nought', () => {
    const trend = trendOf(losing);
    expect(trend && trendSentence(trend)).toBe('Losing 0.4 % a week, between 0.3 and 0.5.');
    const steady = trendOf(
      weighed([0, 5, 10, 15, 20, 30], [12000, 12010, 11990, 12000, 12020, 12000]),
    );
    expect(steady && trendSentence(steady)).toBe(
      'Steady as far as can be told: between −0.1 and +0.1 % a week.',
    );
  });

  it('draws a band that holds its line', () => {
    const trend = trendOf(losing);
    for (const point of trend ? trendLine(trend, { from: 0, to: 77 * DAY }) : []) {
      expect(point.low).toBeLessThanOrEqual(point.middle);
      expect(point.high).toBeGreaterThanOrEqual(point.middle);
    }
  });
});
