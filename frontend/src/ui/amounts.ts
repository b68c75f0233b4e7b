// Reading amounts that people type, and stepping them.

/** The number in `text`, or null when it is none. A comma counts as the decimal sign; so does a full stop. */
export function readAmount(text: string): number | null {
  const plain = text.trim().replace(',', '.');
  if (!/^\d+(\.\d*)?$|^\.\d+$/.test(plain)) return null;
  return Number(plain);
}

/**
 * The value moved by one step, landing on whole steps and staying within the limits.
 *
 * 187 with a step of 10 goes to 190 or 180, so that two presses never leave an odd remainder.
 */
export function nudge(value: number, step: number, limits: { min: number; max: number }): number {
  const size = Math.abs(step);
  const places = Math.max(0, -Math.floor(Math.log10(size)));
  const steps = step > 0 ? Math.floor(value / size + 1e-9) + 1 : Math.ceil(value / size - 1e-9) - 1;
  const moved = Number((steps * size).toFixed(places + 2));
  return Math.min(limits.max, Math.max(limits.min, moved));
}

/** The digits after pressing a key of the keypad. */
export function pressKey(
  digits: string,
  key: string,
  limits: { length: number; decimals: number },
): string {
  if (key === 'clear') return '';
  if (key === 'delete') return digits.slice(0, -1);
  if (key === '.')
    return limits.decimals === 0 || digits.includes('.')
      ? digits
      : `${digits === '' ? '0' : digits}.`;
  const next = digits === '0' ? key : digits + key;
  const fraction = next.split('.')[1] ?? '';
  return next.length > limits.length || fraction.length > limits.decimals ? digits : next;
}
