import { describe, expect, it } from 'vitest';
import {
  addDays,
  addWeeks,
  dayIn,
  dayLong,
  dayNear,
  dayShort,
  daysBetween,
  daysOf,
  timeIn,
  weekOf,
  weekRange,
  weekTitle,
} from './dates';

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

describe('days', () => {
  it('adds days over a month and a leap day', () => {
    expect(addDays('2028-02-28', 1)).toBe('2028-02-29');
    expect(addDays('2026-03-01', -1)).toBe('2026-02-28');
  });

  it('reads an instant in the household zone', () => {
    expect(dayIn('2026-11-16T23:30:00Z', 'Europe/Berlin')).toBe('2026-11-17');
    expect(timeIn('2026-11-16T23:30:00Z', 'Europe/Berlin')).toBe('00:30');
  });

  it('puts a day into words, with the year only when it differs', () => {
    expect(dayShort('2026-08-12', '2026-11-25')).toBe('12 Aug');
    expect(dayShort('2025-08-12', '2026-11-25')).toBe('12 Aug 2025');
    expect(dayLong('2026-11-25')).toBe('Wednesday 25 November');
  });

  it('calls near days by their name', () => {
    expect(dayNear('2026-11-25', '2026-11-25')).toBe('today');
    expect(dayNear('2026-11-26', '2026-11-25')).toBe('tomorrow');
    expect(dayNear('2026-11-24', '2026-11-25')).toBe('yesterday');
    expect(dayNear('2026-11-28', '2026-11-25')).toBe('Sat');
    expect(dayNear('2026-12-09', '2026-11-25')).toBe('9 Dec');
    expect(daysBetween('2026-03-28', '2026-03-30')).toBe(2);
  });
});
