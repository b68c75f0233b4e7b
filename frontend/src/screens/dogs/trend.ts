/**
 * The trend of a dog's weight: the median of the slopes between all pairs of weighings, and Sen's
 * interval for it.
 *
 * Theil (1950), Indagationes Mathematicae 12, 85-91; Sen (1968), Journal of the American
 * Statistical Association 63, 1379-1389. One odd weighing moves it little, unlike least squares.
 * The tests hold it against scipy.stats.theilslopes.
 */

export interface Weighed {
  /** Milliseconds since 1970. */
  readonly at: number;
  readonly mass_g: number;
}

export interface Trend {
  /** Grams a week. */
  readonly slope: number;
  readonly low: number;
  readonly high: number;
  /** The line at time t is `middle_g + slope * (t - middle_at)` in weeks. */
  readonly middle_at: number;
  readonly middle_g: number;
}

const WEEK_MS = 7 * 86_400_000;
/** Quantile of the normal distribution for an interval that holds the slope 19 times in 20. */
const Z = 1.959963984540054;
/** A slope needs three weighings on three days, over two weeks (choice of this project). */
const LEAST_WEIGHINGS = 3;
const LEAST_SPAN_MS = 14 * 86_400_000;

function median(sorted: readonly number[]): number {
  const half = sorted.length / 2;
  const upper = sorted[Math.floor(half)] ?? 0;
  return sorted.length % 2 === 1 ? upper : (upper + (sorted[half - 1] ?? 0)) / 2;
}

function ascending(values: readonly number[]): number[] {
  return [...values].sort((a, b) => a - b);
}

/** Sum over groups of equal values, as the variance of Kendall's score takes them off. */
function ties(values: readonly number[]): number {
  const counts = new Map<number, number>();
  for (const value of values) counts.set(value, (counts.get(value) ?? 0) + 1);
  return [...counts.values()].reduce((sum, k) => sum + k * (k - 1) * (2 * k + 5), 0);
}

/** Half to even, as numpy rounds. */
function roundEven(value: number): number {
  const floor = Math.floor(value);
  const rest = value - floor;
  if (rest !== 0.5) return Math.round(value);
  return floor % 2 === 0 ? floor : floor + 1;
}

/**
 * A weighing at the noon of its day. Two weights of one day say how well the scale repeats itself,
 * and nothing of a slope: a few grams in five minutes would be kilograms a week.
 */
export function weighedOn(day: string, mass_g: number): Weighed {
  return { at: Date.parse(`${day}T12:00:00Z`), mass_g };
}

/** The trend, or null while there are too few weighings, or days of them, for one. */
export function trendOf(weighings: readonly Weighed[]): Trend | null {
  const points = [...weighings].sort((a, b) => a.at - b.at);
  const span = (points.at(-1)?.at ?? 0) - (points[0]?.at ?? 0);
  const moments = new Set(points.map((point) => point.at)).size;
  if (moments < LEAST_WEIGHINGS || span < LEAST_SPAN_MS) return null;
  const weeks = points.map((point) => point.at / WEEK_MS);
  const masses = points.map((point) => point.mass_g);
  const slopes: number[] = [];
  points.forEach((_, i) => {
    for (let j = i + 1; j < points.length; j += 1) {
      const apart = (weeks[j] ?? 0) - (weeks[i] ?? 0);
      if (apart > 0) slopes.push(((masses[j] ?? 0) - (masses[i] ?? 0)) / apart);
    }
  });
  const sorted = ascending(slopes);
  const n = points.length;
  const variance = (n * (n - 1) * (2 * n + 5) - ties(weeks) - ties(masses)) / 18;
  const reach = Z * Math.sqrt(Math.max(0, variance));
  const upper = Math.min(roundEven((sorted.length + reach) / 2), sorted.length - 1);
  const lower = Math.max(roundEven((sorted.length - reach) / 2) - 1, 0);
  return {
    slope: median(sorted),
    low: sorted[lower] ?? 0,
    high: sorted[upper] ?? 0,
    middle_at: median(ascending(weeks)) * WEEK_MS,
    middle_g: median(ascending(masses)),
  };
}

/** The line and its interval at so many places, for a chart. */
export function trendLine(
  trend: Trend,
  span: { from: number; to: number },
): { at: number; middle: number; low: number; high: number }[] {
  const steps = 12;
  return Array.from({ length: steps + 1 }, (_, index) => {
    const at = span.from + ((span.to - span.from) * index) / steps;
    const weeks = (at - trend.middle_at) / WEEK_MS;
    const ends = ascending([trend.low * weeks, trend.high * weeks]);
    return {
      at,
      middle: trend.middle_g + trend.slope * weeks,
      low: trend.middle_g + (ends[0] ?? 0),
      high: trend.middle_g + (ends[1] ?? 0),
    };
  });
}

/** "Losing 0.4 % a week, between 0.3 and 0.5." A slope whose interval holds zero is called steady. */
export function trendSentence(trend: Trend): string {
  const percent = (slope: number): number => (slope / trend.middle_g) * 100;
  const [slope, low, high] = [percent(trend.slope), percent(trend.low), percent(trend.high)];
  if (low <= 0 && high >= 0) {
    return `Steady as far as can be told: between ${signed(low)} and ${signed(high)} % a week.`;
  }
  const [least, most] = slope < 0 ? [-high, -low] : [low, high];
  const verb = slope < 0 ? 'Losing' : 'Gaining';
  return `${verb} ${places(Math.abs(slope))} % a week, between ${places(least)} and ${places(most)}.`;
}

function places(value: number): string {
  return value.toFixed(value < 0.1 ? 2 : 1);
}

function signed(value: number): string {
  if (Number(value.toFixed(1)) === 0) return '0.0';
  return `${value < 0 ? '−' : '+'}${Math.abs(value).toFixed(1)}`;
}
