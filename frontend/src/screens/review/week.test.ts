import { describe, expect, it } from 'vitest';
import { addWeeks, daysOf, endsOf, weekOf, weekRange, weekTitle } from './week';

describe('weeks', () => {
  // Year-end cases from the definition in ISO 8601: week 1 holds the year's first Thursday.
  it.each([
    ['2026-11-16', '2026-W47'],
    ['2026-11-22', '2026-W47'],
    ['2027-01-01', '2026-W53'],
    ['2027-01-04', '2027-W01'],
    ['2024-12-30', '2025-W01'],
    ['2021-01-03', '2020-W53'],
  ])('%s lies in %s', (day, week) => {
    expect(weekOf(day)).toBe(week);
    expect(daysOf(week)).toContain(day);
  });

  it('has seven days from Monday to Sunday', () => {
    expect(daysOf('2026-W47')).toEqual([
      '2026-11-16',
      '2026-11-17',
      '2026-11-18',
      '2026-11-19',
      '2026-11-20',
      '2026-11-21',
      '2026-11-22',
    ]);
  });

  it('has a Monday and a Sunday', () => {
    expect(endsOf('2026-W47')).toEqual({ from: '2026-11-16', to: '2026-11-22' });
  });

  it('goes back and forth over a year with 53 weeks', () => {
    expect(addWeeks('2026-W53', 1)).toBe('2027-W01');
    expect(addWeeks('2027-W01', -1)).toBe('2026-W53');
  });

  it('names the range in words', () => {
    expect(weekTitle('2026-W07')).toBe('Week 7');
    expect(weekRange('2026-W47')).toBe('16 to 22 November');
    expect(weekRange('2026-W49')).toBe('30 November to 6 December');
    expect(weekRange('2026-W53')).toBe('28 December 2026 to 3 January 2027');
  });

  it('refuses a week it cannot read', () => {
    expect(() => daysOf('47')).toThrow('A week reads like');
  });
});
