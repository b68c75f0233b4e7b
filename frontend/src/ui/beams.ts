// Geometry and words of a beam: how far the line goes, where its ticks are, what is said beside it.

export type Word = 'short' | 'over' | 'unknown' | 'met';

export interface Reading {
  /** What is known to be there; null when no food in it has a figure. */
  readonly known: number | null;
  /** The most it can be with the unknown part filled in; null when that cannot be said. */
  readonly best: number | null;
  readonly minimum: number | null;
  readonly maximum: number | null;
}

export interface Scale {
  readonly end: number;
  readonly step: number;
}

const roundSteps = [1, 2, 2.5, 5, 10] as const;

/** The smallest round number that is not below `value`. */
function roundUp(value: number): number {
  const power = 10 ** Math.floor(Math.log10(value));
  const found = roundSteps.find((factor) => factor * power >= value * (1 - 1e-12));
  return (found ?? 10) * power;
}

/** Length and tick distance of a beam that has to show all `values`, with air after the last. */
export function scaleFor(values: readonly (number | null)[]): Scale {
  const present = values.filter((value): value is number => value !== null && value > 0);
  const largest = present.length === 0 ? 1 : Math.max(...present);
  const wanted = largest * 1.2;
  return { end: wanted, step: roundUp(wanted / 8) };
}

/** Share of the beam, as a CSS percentage between 0 and 100. */
export function along(value: number, end: number): string {
  return `${Math.min(100, Math.max(0, (value / end) * 100)).toFixed(2)}%`;
}

/** Order in which readings are listed: what is off first, what is right last. */
export const wordOrder: readonly Word[] = ['over', 'short', 'unknown', 'met'];

export const wordTitles: Readonly<Record<Word, string>> = {
  over: 'Over',
  short: 'Short',
  unknown: 'Unknown',
  met: 'Met',
};

/** A figure with as many decimals as it bears: three figures, never more than `decimals` places. */
export function shortFigure(value: number, decimals = 3): string {
  if (value === 0) return '0';
  const whole = Math.max(0, Math.floor(Math.log10(Math.abs(value))) + 1);
  const places = Math.min(decimals, Math.max(0, value >= 1 ? 3 - whole : 2));
  const text = value.toFixed(places);
  if (Number(text) === 0) return `under ${(10 ** -places).toFixed(places)}`;
  return text.includes('.') && value >= 10 ? text.replace(/\.?0+$/, '') : text;
}

/** "12 mg, 13.5 at best": what is there, in words. */
export function hasWords(reading: Reading, word: Word, unit: string, decimals?: number): string {
  if (reading.known === null) {
    if (reading.best === null) return 'nothing known';
    return `nothing known, up to ${shortFigure(reading.best, decimals)} ${unit}`;
  }
  const known = `${shortFigure(reading.known, decimals)} ${unit}`;
  const more =
    reading.best !== null &&
    shortFigure(reading.best, decimals) !== shortFigure(reading.known, decimals);
  if (word === 'unknown' && reading.best === null) return `${known} known, the rest not`;
  if (!more || reading.best === null) return known;
  if (word === 'short') return `${known}, ${shortFigure(reading.best, decimals)} at best`;
  if (word === 'unknown') return `${known} known, up to ${shortFigure(reading.best, decimals)}`;
  return `${shortFigure(reading.known, decimals)} to ${shortFigure(reading.best, decimals)} ${unit}`;
}

/** "25 or more", "3.0 to 4.5", without the unit; null when nothing is asked. */
export function rangeWords(reading: Reading, decimals?: number): string | null {
  const { minimum, maximum } = reading;
  if (minimum !== null && maximum !== null) {
    return `${shortFigure(minimum, decimals)} to ${shortFigure(maximum, decimals)}`;
  }
  if (minimum !== null) return `${shortFigure(minimum, decimals)} or more`;
  return maximum === null ? null : `${shortFigure(maximum, decimals)} or less`;
}

/** "wants 3.0 to 4.5 g". */
export function wantsWords(reading: Reading, unit: string, decimals?: number): string {
  const { minimum, maximum } = reading;
  if (minimum === null && maximum === null) return 'no figure given';
  if (minimum !== null && maximum !== null) return `wants ${rangeWords(reading, decimals)} ${unit}`;
  const figure = shortFigure(minimum ?? maximum ?? 0, decimals);
  return minimum !== null ? `wants ${figure} ${unit} or more` : `wants ${figure} ${unit} or less`;
}
