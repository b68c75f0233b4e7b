/** How cold the household's fridge is: one figure for all its members, in each one's own unit. */
import type { Rec } from '../../db/store.svelte';
import { isTooWarm } from '../../domain/thaw';
import type { Fridge } from '../../domain/thaw-duty';
import type { Tables } from '../../domain/tables';
import { fixed, type Units } from '../../ui/words';
import { keepPreference } from './preference';

/** The kinds' own limits [°C]. */
export const FRIDGE_LIMITS_C = { min: 1, max: 20 } as const;

function shown(temperature_c: number, units: Units): string {
  const value = units === 'us' ? temperature_c * 1.8 + 32 : temperature_c;
  return fixed(value, 1).replace(/\.0$/, '');
}

/** "4 °C", "39.2 °F". */
export function temperatureWords(temperature_c: number, units: Units): string {
  return `${shown(temperature_c, units)} °${units === 'us' ? 'F' : 'C'}`;
}

/** "at 4 °C", "at 2 to 4 °C, not measured". */
export function fridgeWords(fridge: Fridge, units: Units): string {
  if (!fridge.is_assumed) return temperatureWords(fridge.coldest_c, units);
  return `${shown(fridge.coldest_c, units)} to ${temperatureWords(fridge.warmest_c, units)}, not measured`;
}

/** What was typed, in °C; null where it is no number. */
export function readTemperature(typed: string, units: Units): number | null {
  const text = typed.trim().replace(',', '.');
  if (!/^-?\d+(\.\d+)?$/.test(text)) return null;
  const value = Number(text);
  // To a tenth, 38 °F would come back as 37.9.
  return units === 'us'
    ? Math.round(((value - 32) / 1.8) * 100) / 100
    : Math.round(value * 10) / 10;
}

/** Why a typed temperature cannot be kept; null when it can. */
export function temperatureError(typed: string, units: Units): string | null {
  if (typed.trim() === '') return null;
  const { min, max } = FRIDGE_LIMITS_C;
  const value_c = readTemperature(typed, units);
  if (value_c !== null && value_c >= min && value_c <= max) return null;
  const given = value_c === null ? `“${typed}” is not a number` : `${typed} does not go here`;
  return `${given}. Give ${shown(min, units)} to ${temperatureWords(max, units)}, or leave it empty if nobody has measured it.`;
}

export function typedOf(temperature_c: number | null, units: Units): string {
  return temperature_c === null ? '' : shown(temperature_c, units);
}

/** Whether the fridge, as measured, is warmer than food-safety authorities ask for. */
export function warmFridge(tables: Tables | null, measured_c: number | null): boolean {
  return measured_c !== null && tables?.thaw !== undefined && isTooWarm(tables.thaw, measured_c);
}

/**
 * Keeps it for the whole household; null: nobody has measured it. `seen` is the record whose figure
 * the form was opened with: what somebody else measured meanwhile must not go without a word.
 */
export async function keepFridge(
  fridge_c: number | null,
  seen: Rec<'preference'> | undefined,
): Promise<void> {
  await keepPreference({ fridge_c }, seen);
}
