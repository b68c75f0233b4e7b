/** A food of the household's own, whichever way it was written down. */

import { editedCopy, type CopyTables } from './copies.ts';
import type { Food } from './kinds.ts';
import { checkPrinted } from './label-energy.ts';
import { amountsOf } from './label-lines.ts';
import { checkNutrients, foodFromLabel, ownRow, type OwnName } from './labels.ts';
import { withSums } from './sums.ts';
import { supplement } from './supplements.ts';
import type { FoodRow } from './tables.ts';

/** A supplement has a measure, lines for it, and no analysis of its own. */
export function isSupplement(food: Food): boolean {
  return food.copied_from == null && food.label == null && (food.lines?.length ?? 0) > 0;
}

/** The composition of an own food; null while too little of it is written down. */
export function composed(tables: CopyTables, food: Food, key: string): FoodRow | null {
  const own: OwnName = { key, name: food.name };
  const energy_kcal_per_100g = food.energy_kcal_per_100g ?? null;
  const amounts = food.nutrients_per_100g ?? {};
  const lines = food.lines ?? [];
  const serving = food.serving ?? null;
  if (food.copied_from != null) {
    const base = tables.foods.find((each) => each.key === food.copied_from);
    const bone_share_pct = food.bone_share_pct ?? null;
    return base === undefined
      ? null
      : editedCopy(tables, base, { own: amounts, energy_kcal_per_100g, bone_share_pct }, own);
  }
  if (food.label != null) {
    return foodFromLabel(
      tables,
      { ...food.label, energy_kcal_per_100g, nutrients_per_100g: amounts, lines, serving },
      { ...own, style: food.style ?? 'raw' },
    );
  }
  if (serving !== null && lines.length > 0) {
    return supplement(tables, { lines, serving, energy_kcal_per_100g }, own);
  }
  return energy_kcal_per_100g === null ? null : bare(tables, food, own, energy_kcal_per_100g);
}

/** A food of which somebody wrote down the energy and perhaps some amounts, and no label. */
function bare(tables: CopyTables, food: Food, own: OwnName, energy_kcal: number): FoodRow {
  const amounts = food.nutrients_per_100g ?? {};
  checkNutrients(tables.nutrients, amounts, own.name);
  checkPrinted(energy_kcal);
  const found = amountsOf(tables, food.lines ?? [], {
    serving: food.serving ?? null,
    dry_matter_share: null,
  });
  const energy = { energy_kcal_per_100g: energy_kcal, energy_method: 'label' as const };
  return ownRow(
    own,
    food.style ?? 'raw',
    energy,
    withSums({ ...found.values, ...amounts }, found.low, found.high, {}),
  );
}
