import { describe, expect, it } from 'vitest';
import {
  addDays,
  ageWords,
  asInstant,
  clockOf,
  dayOf,
  dayWords,
  daysBetween,
  instantAt,
  longDay,
  momentWords,
} from './days';

describe('days of a household', () => {
  it('puts an instant on the day of the household, not of the phone', () => {
    expect(dayOf('2026-10-13T23:30:00Z', 'Europe/London')).toBe('2026-10-14');
    expect(dayOf('2026-10-14T01:30:00Z', 'America/New_York')).toBe('2026-10-13');
  });

  it('goes from a clock time to an instant and back, on both sides of a change of clocks', () => {
    for (const day of ['2026-03-28', '2026-03-29', '2026-10-24', '2026-10-25', '2026-10-26']) {
      const instant = instantAt(day, '06:30', 'Europe/London');
      expect(dayOf(instant, 'Europe/London')).toBe(day);
      expect(clockOf(instant, 'Europe/London')).toBe('06:30');
    }
  });

  it('moves a skipped hour forward', () => {
    // 29 March 2026, 01:30 does not exist in London (IANA time zone database).
    expect(clockOf(instantAt('2026-03-29', '01:30', 'Europe/London'), 'Europe/London')).toBe(
      '02:30',
    );
  });

  it('stores whole seconds in UTC', () => {
    expect(asInstant(Date.UTC(2026, 9, 14, 5, 34, 12, 345))).toBe('2026-10-14T05:34:12Z');
  });

  it('counts days across months and years', () => {
    expect(addDays('2026-12-31', 1)).toBe('2027-01-01');
    expect(addDays('2028-03-01', -1)).toBe('2028-02-29');
    expect(daysBetween('2026-02-27', '2026-03-02')).toBe(3);
  });

  it('names days near by and dates far away', () => {
    const today = '2026-10-14';
    expect(dayWords(today, today)).toBe('today');
    expect(dayWords('2026-10-13', today)).toBe('yesterday');
    expect(dayWords('2026-10-12', today)).toBe('Mon');
    expect(dayWords('2026-10-06', today)).toBe('6 Oct');
    expect(dayWords('2025-10-06', today)).toBe('6 Oct 2025');
    expect(longDay(today, today)).toBe('14 October');
    expect(momentWords('2026-10-12T16:44:00Z', today, 'Europe/London')).toBe('Mon 17:44');
  });

  it('says ages as people do', () => {
    expect(ageWords('2014-05-01', '2026-10-14')).toBe('12 years');
    expect(ageWords('2026-02-10', '2026-10-14')).toBe('8 months');
    expect(ageWords('2026-09-10', '2026-10-14')).toBe('4 weeks');
    expect(ageWords('2026-02-20', '2026-10-14')).toBe('7 months');
  });
});

describe('a time on a day on which the clocks change', () => {
  // Each from Python: datetime(...).replace(tzinfo=ZoneInfo(zone)).astimezone(UTC), fold 0.
  it.each([
    ['2026-03-08', '02:30', 'America/Los_Angeles', '2026-03-08T10:30:00Z'],
    ['2026-11-01', '01:30', 'America/Los_Angeles', '2026-11-01T08:30:00Z'],
    ['2026-03-29', '02:30', 'Europe/Berlin', '2026-03-29T01:30:00Z'],
    ['2026-10-25', '02:30', 'Europe/Berlin', '2026-10-25T00:30:00Z'],
    ['2026-09-27', '02:30', 'Pacific/Auckland', '2026-09-26T14:30:00Z'],
    ['2026-04-05', '02:30', 'Pacific/Auckland', '2026-04-04T13:30:00Z'],
    ['2026-09-06', '00:00', 'America/Santiago', '2026-09-06T04:00:00Z'],
    ['2026-11-27', '18:00', 'Pacific/Auckland', '2026-11-27T05:00:00Z'],
  ])('%s %s in %s is one instant, forward of a gap', (day, time, zone, expected) => {
    expect(instantAt(day, time, zone)).toBe(expected);
  });
});
