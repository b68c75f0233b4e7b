/**
 * ISO 8601 weeks, "2026-W47", as days and as plain words.
 *
 * Days are calendar days without a zone; arithmetic is done in UTC, so that no daylight saving
 * change can drop or double one.
 */
import { addDays, longDay } from '../../ui/days';

const DAY_MS = 86_400_000;

function toUtc(day: string): Date {
  return new Date(`${day}T00:00:00Z`);
}

/** Days since Monday. */
function weekdayNumber(day: string): number {
  return (toUtc(day).getUTCDay() + 6) % 7;
}

/** The ISO week a day lies in: the one that holds the Thursday of the same Monday-to-Sunday. */
export function weekOf(day: string): string {
  const thursday = toUtc(addDays(day, 3 - weekdayNumber(day)));
  const year = thursday.getUTCFullYear();
  const ordinal = (thursday.getTime() - Date.UTC(year, 0, 1)) / DAY_MS;
  return `${year}-W${String(Math.floor(ordinal / 7) + 1).padStart(2, '0')}`;
}

/** The seven days of a week, Monday first. */
export function daysOf(week: string): string[] {
  const match = /^(\d{4})-W(\d{2})$/.exec(week);
  if (!match) throw new RangeError(`A week reads like "2026-W47", not "${week}".`);
  const fourth = `${match[1]}-01-04`;
  const monday = addDays(fourth, (Number(match[2]) - 1) * 7 - weekdayNumber(fourth));
  return [0, 1, 2, 3, 4, 5, 6].map((offset) => addDays(monday, offset));
}

/** Monday and Sunday of a week. */
export function endsOf(week: string): { readonly from: string; readonly to: string } {
  const days = daysOf(week);
  return { from: days[0] ?? '', to: days[6] ?? '' };
}

/** The week so many weeks later (or earlier, when negative). */
export function addWeeks(week: string, weeks: number): string {
  return weekOf(addDays(endsOf(week).from, weeks * 7));
}

/** "Week 47". */
export function weekTitle(week: string): string {
  return `Week ${Number(week.slice(6))}`;
}

/** "6 to 12 October", "28 September to 4 October"; with the year when the week spans two. */
export function weekRange(week: string): string {
  const { from, to } = endsOf(week);
  if (from.slice(0, 4) !== to.slice(0, 4)) {
    return `${longDay(from)} ${from.slice(0, 4)} to ${longDay(to)} ${to.slice(0, 4)}`;
  }
  if (from.slice(5, 7) !== to.slice(5, 7)) return `${longDay(from)} to ${longDay(to)}`;
  return `${Number(from.slice(8))} to ${longDay(to)}`;
}
