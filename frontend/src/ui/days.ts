// Days and times as people say them. The one module that turns instants into days and back.
//
// Days are YYYY-MM-DD, instants YYYY-MM-DDTHH:MM:SSZ, and a day belongs to the household's time zone.

const englishDays = [
  'Sunday',
  'Monday',
  'Tuesday',
  'Wednesday',
  'Thursday',
  'Friday',
  'Saturday',
] as const;
const englishMonths = [
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

const formats = new Map<string, Intl.DateTimeFormat>();

function formatIn(zone: string): Intl.DateTimeFormat {
  const known = formats.get(zone);
  if (known) return known;
  const made = new Intl.DateTimeFormat('en-GB', {
    timeZone: zone,
    year: 'numeric',
    month: '2-digit',
    day: '2-digit',
    hour: '2-digit',
    minute: '2-digit',
    second: '2-digit',
    hourCycle: 'h23',
  });
  formats.set(zone, made);
  return made;
}

function partsIn(at: number, zone: string): Record<string, string> {
  return Object.fromEntries(
    formatIn(zone)
      .formatToParts(at)
      .map(({ type, value }) => [type, value]),
  );
}

/** Whether the phone knows this time zone. */
export function isZone(zone: string): boolean {
  try {
    formatIn(zone);
    return true;
  } catch {
    return false;
  }
}

export function millisecondsOf(instant: string | number | Date): number {
  return instant instanceof Date
    ? instant.getTime()
    : typeof instant === 'number'
      ? instant
      : Date.parse(instant);
}

/** The instant as it is stored: seconds, UTC. */
export function asInstant(at: number): string {
  return `${new Date(Math.floor(at / 1000) * 1000).toISOString().slice(0, 19)}Z`;
}

/** The instant so many days ago, as it is stored. */
export function daysAgo(count: number): string {
  return asInstant(Date.now() - count * 86_400_000);
}

/** The day an instant falls on in the zone. */
export function dayOf(instant: string | number | Date, zone: string): string {
  const parts = partsIn(millisecondsOf(instant), zone);
  return `${parts['year']}-${parts['month']}-${parts['day']}`;
}

/** "06:34" in the zone. */
export function clockOf(instant: string | number | Date, zone: string): string {
  const parts = partsIn(millisecondsOf(instant), zone);
  return `${parts['hour']}:${parts['minute']}`;
}

const MS_PER_DAY = 86_400_000;

/** How far the clocks of the zone are ahead of UTC [ms]. */
function ahead_ms(at: number, zone: string): number {
  const { year, month, day, hour, minute, second } = partsIn(at, zone);
  return Date.parse(`${year}-${month}-${day}T${hour}:${minute}:${second}Z`) - at;
}

/**
 * The instant at which the clocks of the zone show that time on that day. An hour that is skipped
 * moves forward, and of one that comes twice the first counts, as Python's zoneinfo has it.
 */
export function instantAt(day: string, time: string, zone: string): string {
  const wanted = Date.parse(`${day}T${time.length === 5 ? `${time}:00` : time}Z`);
  // Clocks change once in two days at most, so these are what they show before and after.
  const before = wanted - ahead_ms(wanted - MS_PER_DAY, zone);
  const after = wanted - ahead_ms(wanted + MS_PER_DAY, zone);
  const shown = [before, after].find((at) => at + ahead_ms(at, zone) === wanted);
  return asInstant(shown ?? before);
}

/** Whether records can hold this day: a date field gives years such as 0025 while one is typed. */
export function isDay(day: string): boolean {
  return /^\d{4}-\d{2}-\d{2}$/.test(day) && day >= '1900-01-01';
}

export function addDays(day: string, count: number): string {
  return new Date(Date.parse(`${day}T12:00:00Z`) + count * 86_400_000).toISOString().slice(0, 10);
}

/** Whole days from one day to another. */
export function daysBetween(from: string, to: string): number {
  return Math.round((Date.parse(`${to}T12:00:00Z`) - Date.parse(`${from}T12:00:00Z`)) / 86_400_000);
}

export function weekdayOf(day: string): string {
  return englishDays[new Date(`${day}T12:00:00Z`).getUTCDay()] ?? '';
}

/** "14 October", with the year when it is not this one. */
export function longDay(day: string, today?: string): string {
  const [year, month, date] = day.split('-');
  const words = `${Number(date)} ${englishMonths[Number(month) - 1]}`;
  return today !== undefined && today.slice(0, 4) !== year ? `${words} ${year}` : words;
}

/** "14 Oct", with the year when it is not this one. */
export function shortDay(day: string, today?: string): string {
  const [year, month, date] = day.split('-');
  const words = `${Number(date)} ${(englishMonths[Number(month) - 1] ?? '').slice(0, 3)}`;
  return today !== undefined && today.slice(0, 4) !== year ? `${words} ${year}` : words;
}

/** "today", "yesterday", "tomorrow", "Mon" within six days either way, then "6 Oct". */
export function dayWords(day: string, today: string): string {
  const distance = daysBetween(today, day);
  if (distance === 0) return 'today';
  if (distance === -1) return 'yesterday';
  if (distance === 1) return 'tomorrow';
  if (Math.abs(distance) < 7) return weekdayOf(day).slice(0, 3);
  return shortDay(day, today);
}

/** "Mon 17:44", "today 06:12", "6 Oct 17:44". */
export function momentWords(instant: string | number | Date, today: string, zone: string): string {
  return `${dayWords(dayOf(instant, zone), today)} ${clockOf(instant, zone)}`;
}

/** "12 years", "8 months", "5 weeks": how old on a day. */
export function ageWords(born: string, today: string): string {
  const months = monthsBetween(born, today);
  if (months >= 24) return `${Math.floor(months / 12)} years`;
  if (months >= 3) return `${months} months`;
  const weeks = Math.max(0, Math.floor(daysBetween(born, today) / 7));
  return weeks === 1 ? '1 week' : `${weeks} weeks`;
}

/** Whole months from one day to another. */
export function monthsBetween(from: string, to: string): number {
  const whole =
    (Number(to.slice(0, 4)) - Number(from.slice(0, 4))) * 12 +
    Number(to.slice(5, 7)) -
    Number(from.slice(5, 7));
  return Number(to.slice(8)) < Number(from.slice(8)) ? whole - 1 : whole;
}
