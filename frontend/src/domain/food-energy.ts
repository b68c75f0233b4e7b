/** Metabolisable energy of food from its analysis, in kcal per 100 g; contents in g per 100 g. */

import { InputError } from './input-error.ts';
import type { EnergyTables } from './tables.ts';

export interface Analysis {
  readonly protein_g: number;
  readonly fat_g: number;
  /** Without fibre. */
  readonly carbohydrate_g: number;
}

export interface WholeAnalysis extends Analysis {
  readonly fibre_g: number;
  readonly water_g: number;
}

/** Fresh food: 4, 9 and 4 kcal per gram. */
export function atwater(energy: EnergyTables, food: Analysis): number {
  return byFactors(energy.food.atwater, food);
}

/** Dry or processed food: 3.5, 8.5 and 3.5 kcal per gram. */
export function modifiedAtwater(energy: EnergyTables, food: Analysis): number {
  return byFactors(energy.food.modified_atwater, food);
}

function byFactors(factors: EnergyTables['food']['atwater'], food: Analysis): number {
  if (Math.min(food.protein_g, food.fat_g, food.carbohydrate_g) < 0) {
    throw new InputError('A content cannot be negative. Check the label.', [
      'protein_g',
      'fat_g',
      'carbohydrate_g',
    ]);
  }
  return (
    factors.protein * food.protein_g +
    factors.fat * food.fat_g +
    factors.carbohydrate * food.carbohydrate_g
  );
}

/** Prepared dog food: the four-step equation of NRC 2006. */
export function fourStep(energy: EnergyTables, food: WholeAnalysis): number {
  const contents = [food.protein_g, food.fat_g, food.carbohydrate_g, food.fibre_g, food.water_g];
  if (Math.min(...contents) < 0 || food.water_g >= 100) {
    throw new InputError(
      'This is not a food: no content may be negative and the moisture must be under 100 %. ' +
        'Check the label.',
      ['protein_g', 'fat_g', 'carbohydrate_g', 'fibre_g', 'water_g'],
    );
  }
  const { four_step, digestibility_pct, digestibility_fall_per_fibre_pct } = energy.food;
  const gross =
    four_step.protein * food.protein_g +
    four_step.fat * food.fat_g +
    four_step.carbohydrate * (food.carbohydrate_g + food.fibre_g);
  const fibreOfDryMatter = (100 * food.fibre_g) / (100 - food.water_g);
  const digested = Math.max(
    0,
    digestibility_pct - digestibility_fall_per_fibre_pct * fibreOfDryMatter,
  );
  const urine = energy.food.urine_kcal_per_protein_g * food.protein_g;
  return Math.max(0, (gross * digested) / 100 - urine);
}
