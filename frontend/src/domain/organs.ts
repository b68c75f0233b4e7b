/** Which foods count as organs, and how much of them is common. The twin of the server's rule. */
import type { FoodRow, OriginTables } from './tables';

/** Muscles such as heart, tongue and gizzard are none, nor is tripe. */
const ORGANS: ReadonlySet<string> = new Set([
  'liver',
  'kidney',
  'spleen',
  'pancreas',
  'brain',
  'thymus',
  'testicle',
  'lung',
  'blood',
  'giblets',
  'udder',
  'uterus',
  'eye',
]);

/**
 * Common practice at home, about one half of it liver; no source, and nobody published a limit. So
 * it gives way to a dog's own cap and to its energy.
 */
export const COMMON_ORGAN_PCT = 10;

export function isOrgan(food: Pick<FoodRow, 'key'>, origins: OriginTables | undefined): boolean {
  return ORGANS.has(origins?.by_food[food.key]?.[1] ?? '');
}
