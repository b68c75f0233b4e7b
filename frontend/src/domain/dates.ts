/**
 * Days, weeks and times of day: the one module that turns them into words and back.
 *
 * A day is a calendar day without a zone, "2026-11-16"; a week is an ISO 8601 week, "2026-W47".
 * Day arithmetic is done in UTC, so that no daylight saving change can drop or double a day.
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
const WEEKDAYS = [
  'Monday',
  'Tuesday',
  'Wednesday',
  'Thursday',
  'Friday',
  'Saturday',
  'Sunday',
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

/** Days from one day to another; negative when the second is earlier. */
export function daysBetween(from: string, to: string): number {
  return Math.round((toUtc(to).getTime() - toUtc(from).getTime()) / DAY_MS);
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

/** "12 October". */
export function dayAndMonth(day: string): string {
  return `${Number(day.slice(8))} ${MONTHS[Number(day.slice(5, 7)) - 1] ?? ''}`;
}

/** "12 Oct"; with the year when it is not the year of `today`. */
export function dayShort(day: string, today: string): string {
  const month = (MONTHS[Number(day.slice(5, 7)) - 1] ?? '').slice(0, 3);
  const year = day.slice(0, 4) === today.slice(0, 4) ? '' : ` ${day.slice(0, 4)}`;
  return `${Number(day.slice(8))} ${month}${year}`;
}

/** "Friday". */
export function weekdayOf(day: string): string {
  return WEEKDAYS[(toUtc(day).getUTCDay() + 6) % 7] ?? '';
}

/** "Friday 17 October". */
export function dayLong(day: string): string {
  return `${weekdayOf(day)} ${dayAndMonth(day)}`;
}

/** "today", "tomorrow", "yesterday", "Fri" within six days, else "12 Oct". */
export function dayNear(day: string, today: string): string {
  const distance = daysBetween(today, day);
  if (distance === 0) return 'today';
  if (distance === 1) return 'tomorrow';
  if (distance === -1) return 'yesterday';
  return Math.abs(distance) <= 6 ? weekdayOf(day).slice(0, 3) : dayShort(day, today);
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
