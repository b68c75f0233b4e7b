/** Shapes of frozen packs, as Plank's equation wants them; the same as nutrition/shapes.py. */

import { InputError } from './input-error.ts';

export const FORMS = ['block', 'flat_bag', 'log', 'piece', 'tray'] as const;
export type Form = (typeof FORMS)[number];

/** A shape by its thickness or diameter [m] and Plank's two factors. */
export interface PlankShape {
  readonly thickness_m: number;
  readonly surface: number;
  readonly inside: number;
}

/** Where nobody measured: common practice, no source. A bag frozen flat, a shop's tray. */
const USUAL_THICKNESS_MM: Readonly<Record<string, number>> = { flat_bag: 30, tray: 40 };
const BLOCK_SIDES = [1, 1.5, 2] as const;
const FLAT_SIDE = 1.25;
const LOG_LENGTHS = 3;
const NEARLY_A_CUBE = 1e-6;

/** Plank's factors of a brick; its sides in any order [m]. */
export function brick(...sides_m: [number, number, number]): PlankShape {
  const [shortest, middle, longest] = [...sides_m].sort((a, b) => a - b) as typeof sides_m;
  const [b1, b2] = [middle / shortest, longest / shortest];
  const surface = (b1 * b2) / (2 * (b1 * b2 + b1 + b2));
  return { thickness_m: shortest, surface, inside: inside(b1, b2) };
}

function inside(b1: number, b2: number): number {
  const root = Math.sqrt((b1 - b2) * (b1 - 1) + (b2 - 1) ** 2);
  if (root < NEARLY_A_CUBE) return 1 / 24;
  const [m, n] = [(b1 + b2 + 1 + root) / 3, (b1 + b2 + 1 - root) / 3];
  return (part(m, b1, b2) - part(n, b1, b2)) / (8 * root) + (2 * b1 + 2 * b2 - 1) / 72;
}

function part(root: number, b1: number, b2: number): number {
  // The logarithm grows without bound where its factor is zero: nothing is left.
  if (root <= 1) return 0;
  return (root - 1) * (b1 - root) * (b2 - root) * Math.log(root / (root - 1));
}

/** Plank's factors of a log; the ends count for the surface alone. */
export function cylinder(diameter_m: number, length_m: number): PlankShape {
  const surface = length_m / (4 * length_m + 2 * diameter_m);
  return { thickness_m: diameter_m, surface, inside: 1 / 16 };
}

/** The shape of a pack from its form and volume; without a thickness, what is usual of the form. */
export function shapeOf(form: string, volume_m3: number, thickness_mm: number | null): PlankShape {
  if (!(FORMS as readonly string[]).includes(form))
    throw new InputError(`There is no form called ${form}. Use one of: ${FORMS.join(', ')}.`, [
      'form',
    ]);
  check(volume_m3, 'the volume of a pack', 'm3');
  const given = thickness_mm ?? USUAL_THICKNESS_MM[form] ?? null;
  if (given !== null) check(given, 'thickness', 'mm');
  return made(form, volume_m3, given === null ? null : given / 1000);
}

function made(form: string, volume_m3: number, thickness_m: number | null): PlankShape {
  if (form === 'log') {
    const diameter_m = thickness_m ?? Math.cbrt((4 * volume_m3) / (Math.PI * LOG_LENGTHS));
    return cylinder(diameter_m, (4 * volume_m3) / (Math.PI * diameter_m ** 2));
  }
  if (thickness_m === null) {
    const [one, two, three] = BLOCK_SIDES;
    const side_m = Math.cbrt(volume_m3 / (one * two * three));
    return brick(side_m * one, side_m * two, side_m * three);
  }
  const width_m = Math.sqrt(volume_m3 / thickness_m / FLAT_SIDE);
  return brick(thickness_m, width_m, width_m * FLAT_SIDE);
}

function check(value: number, name: string, unit: string): void {
  if (!(Number.isFinite(value) && value > 0))
    throw new InputError(`${name} is ${value} ${unit}; it must be over zero.`, [name]);
}
