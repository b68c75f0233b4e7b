/** What a dog usually gets: its energy need, over its meals, by the energy of the food. */
import { InputError } from '../../domain/input-error';
import type { ServingSize } from '../../domain/label-lines';
import { shareOut } from '../../domain/portions';
import { foodGrams, scaleFigure, scaleUnits, type Units } from '../../ui/words';
import type { Eater } from '../plan/eaters';

/** Portions are rounded to what is handy on a kitchen scale. */
export function handyStep_g(portion_g: number): number {
  if (portion_g < 20) return 1;
  return portion_g < 100 ? 2 : 5;
}

/**
 * Grams per meal, or null when the need or the energy of the food is unknown.
 *
 * @param energy_kcal_per_g of the food [kcal/g]
 */
export function usualPortion_g(
  eater: Pick<Eater, 'rid' | 'energy_kcal_per_day' | 'meals_per_day'>,
  energy_kcal_per_g: number | null,
): number | null {
  const need = eater.energy_kcal_per_day;
  if (need === null || energy_kcal_per_g === null) return null;
  const rough_g = need / eater.meals_per_day / energy_kcal_per_g;
  try {
    const plan = shareOut(
      [{ key: eater.rid, energy_kcal_per_day: need, meals_per_day: eater.meals_per_day }],
      { energy_kcal: energy_kcal_per_g * 1000, yield_g: 1000, step_g: handyStep_g(rough_g) },
    );
    const portion_g = plan.portions[0]?.mass_g_per_meal ?? null;
    return portion_g !== null && portion_g <= MOST_OFFERED_G ? portion_g : null;
  } catch (error) {
    if (error instanceof InputError) return null;
    throw error;
  }
}

/** Why there is no portion, as words for a button that is not ready; null when there is one. */
export function portionGap(eater: Eater, energy_kcal_per_g: number | null): string | null {
  if (eater.energy_kcal_per_day === null)
    return eater.why ?? `The need of ${eater.name} is not known.`;
  return energy_kcal_per_g === null ? 'The energy of this food is not known.' : null;
}

/** How amounts of food are stepped on the screen: grams, or ounces for those who read ounces. */
export interface FoodScale {
  readonly unit: string;
  readonly spoken: string;
  readonly step: number;
  readonly decimals: number;
  readonly shown: (grams: number) => number;
  readonly grams: (shown: number) => number;
}

export function foodScale(units: Units, portion_g: number): FoodScale {
  if (units === 'us') {
    return {
      ...scaleUnits.us,
      step: portion_g < 100 ? 0.1 : 0.5,
      decimals: 1,
      shown: (grams) => scaleFigure(grams, units),
      grams: (shown) => foodGrams(shown, units),
    };
  }
  return {
    ...scaleUnits.metric,
    step: portion_g < 100 ? handyStep_g(portion_g) : 10,
    decimals: 0,
    shown: (grams) => grams,
    grams: (shown) => Math.round(shown),
  };
}

/** The most in one bowl, as the kinds have it [g]. */
export const MOST_OFFERED_G = 20_000;

/** Grams of what was stepped to or typed; the most that is shown is all there is. */
export function scaleWithin_g(scale: FoodScale, shown: number, most_g: number): number {
  return shown >= scale.shown(most_g) ? most_g : Math.min(most_g, scale.grams(shown));
}

const MANY: Readonly<Record<ServingSize['unit'], string>> = {
  tablet: 'tablets',
  capsule: 'capsules',
  ml: 'ml',
  scoop: 'scoops',
  teaspoon: 'teaspoons',
  drop: 'drops',
  piece: 'pieces',
  cup: 'cups',
  g: 'g',
};

/** "1 tablet", "1.5 tablets", "2 ml". */
export function servingWords({ unit, mass_g }: ServingSize, grams: number): string {
  const count = Math.round((grams / mass_g) * 100) / 100;
  return `${String(count)} ${count === 1 ? unit : MANY[unit]}`;
}

/** How a food is stepped by its own measure: half a tablet, a tenth of a gram, one drop. */
export function servingScale({ unit, mass_g }: ServingSize): FoodScale {
  const isFine = unit === 'g' || unit === 'ml';
  return {
    unit: MANY[unit],
    spoken: unit === 'g' ? 'grams' : unit === 'ml' ? 'millilitres' : MANY[unit],
    step: unit === 'drop' ? 1 : isFine ? 0.1 : 0.5,
    decimals: unit === 'drop' ? 0 : 1,
    shown: (grams) => Math.round((grams / mass_g) * 100) / 100,
    grams: (shown) => Math.round(shown * mass_g * 10_000) / 10_000,
  };
}
