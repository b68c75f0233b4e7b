import { describe, expect, it } from 'vitest';
import { axisFor } from './chart-scale';

describe('axes', () => {
  it('has round ticks that hold the values', () => {
    const axis = axisFor([17.4, 18.15]);
    expect(axis.from).toBeLessThanOrEqual(17.4);
    expect(axis.to).toBeGreaterThanOrEqual(18.15);
    expect(axis.ticks.length).toBeGreaterThanOrEqual(3);
    expect(axis.ticks.length).toBeLessThanOrEqual(6);
  });

  it('does not magnify scale noise of a steady dog', () => {
    const axis = axisFor([17.4, 17.4]);
    expect(axis.to - axis.from).toBeGreaterThan(0.3);
  });

  it('never repeats a tick', () => {
    for (const values of [
      [0.35, 0.36],
      [3, 70],
      [17.123, 17.124],
    ]) {
      const { ticks } = axisFor(values);
      expect(new Set(ticks).size).toBe(ticks.length);
    }
  });
});
