/**
 * ISO 8601 weeks and days as plain words: "2026-W47", "2026-11-16".
 *
 * Days are calendar days without a zone; arithmetic is done in UTC so that no daylight saving
 * change can drop or double one.
 */

const DAY_MS = 86_400_000;
const MONTHS = [
  'January',
  'February',
  'March',
  'April',
  'May',
  'June',
  'July',
  'August',
  'September',
  'October',
  'November',
  'December',
] as const;

function toUtc(day: string): Date {
  return new Date(`${day}T00:00:00Z`);
}

function toDay(date: Date): string {
  return date.toISOString().slice(0, 10);
}

/** The day so many days later (or earlier, when negative). */
export function addDays(day: string, days: number): string {
  return toDay(new Date(toUtc(day).getTime() + days * DAY_MS));
}

/** The ISO week a day lies in: the one that holds the Thursday of the same Monday-to-Sunday. */
export function weekOf(day: string): string {
  const date = toUtc(day);
  const weekday = (date.getUTCDay() + 6) % 7;
  const thursday = new Date(date.getTime() + (3 - weekday) * DAY_MS);
  const year = thursday.getUTCFullYear();
  const ordinal = (thursday.getTime() - Date.UTC(year, 0, 1)) / DAY_MS;
  return `${year}-W${String(Math.floor(ordinal / 7) + 1).padStart(2, '0')}`;
}

/** The seven days of a week, Monday first. */
export function daysOf(week: string): string[] {
  const match = /^(\d{4})-W(\d{2})$/.exec(week);
  if (!match) throw new RangeError(`A week reads like "2026-W47", not "${week}".`);
  const fourth = `${match[1]}-01-04`;
  const weekday = (toUtc(fourth).getUTCDay() + 6) % 7;
  const monday = addDays(fourth, -weekday + (Number(match[2]) - 1) * 7);
  return [0, 1, 2, 3, 4, 5, 6].map((offset) => addDays(monday, offset));
}

/** The week so many weeks later (or earlier, when negative). */
export function addWeeks(week: string, weeks: number): string {
  return weekOf(addDays(daysOf(week)[0] ?? '', weeks * 7));
}

/** "Week 47". */
export function weekTitle(week: string): string {
  return `Week ${Number(week.slice(6))}`;
}

function dayAndMonth(day: string): string {
  return `${Number(day.slice(8))} ${MONTHS[Number(day.slice(5, 7)) - 1] ?? ''}`;
}

/** "6 to 12 October", "28 September to 4 October"; with the year when the week spans two. */
export function weekRange(week: string): string {
  const days = daysOf(week);
  const from = days[0] ?? '';
  const to = days[6] ?? '';
  if (from.slice(0, 4) !== to.slice(0, 4)) {
    return `${dayAndMonth(from)} ${from.slice(0, 4)} to ${dayAndMonth(to)} ${to.slice(0, 4)}`;
  }
  if (from.slice(5, 7) !== to.slice(5, 7)) return `${dayAndMonth(from)} to ${dayAndMonth(to)}`;
  return `${Number(from.slice(8))} to ${dayAndMonth(to)}`;
}

/** The calendar day of an instant in a time zone. */
export function dayIn(instant: string, timeZone: string): string {
  return new Intl.DateTimeFormat('en-CA', {
    timeZone,
    year: 'numeric',
    month: '2-digit',
    day: '2-digit',
  }).format(new Date(instant));
}

/** The time of day of an instant in a time zone, "06:30". */
export function timeIn(instant: string, timeZone: string): string {
  return new Intl.DateTimeFormat('en-GB', {
    timeZone,
    hour: '2-digit',
    minute: '2-digit',
    hourCycle: 'h23',
  }).format(new Date(instant));
}
