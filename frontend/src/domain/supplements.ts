/** A supplement from its label: what one tablet, capsule or ml holds. */

import { atwater } from './food-energy.ts';
import { InputError } from './input-error.ts';
import { checkPrinted } from './label-energy.ts';
import { amountsOf, MOST_PCT, type LabelLine, type ServingSize } from './label-lines.ts';
import { ownRow, type LabelTables, type OwnName } from './labels.ts';
import { SUMS, withSums, type Amounts, type Bounded } from './sums.ts';
import type { FoodRow, NutrientRow } from './tables.ts';

const GRAMS: Readonly<Record<string, number>> = { g: 1, mg: 1e-3, µg: 1e-6 };
const PARTS_OF: Readonly<Record<string, string>> = {
  'fatty acids': 'fat',
  'amino acids': 'protein',
};

export interface SupplementLabel {
  readonly lines: readonly LabelLine[];
  readonly serving: ServingSize;
  readonly energy_kcal_per_100g: number | null;
}

/**
 * A supplement as a food. What it lists is known; what it does not list is bounded: by the mass
 * that the lines leave for what is counted in g, with the fat or protein it may be part of, and by
 * nothing at all for minerals and vitamins, since a supplement lists what it is sold for.
 */
export function supplement(tables: LabelTables, label: SupplementLabel, own: OwnName): FoodRow {
  const { lines, serving } = label;
  if (lines.length === 0) {
    throw new InputError(`${own.name}: nothing is listed. Type at least one line of the label.`, [
      'lines',
    ]);
  }
  const found = amountsOf(tables, lines, { serving, dry_matter_share: null });
  const listed_g = listed(tables.nutrients, found.values);
  if (listed_g > MOST_PCT) {
    throw new InputError(
      `${own.name}: the lines weigh ${listed_g.toFixed(0)} % of what one ${serving.unit} of ${serving.mass_g} g weighs. Check the units, and the mass of one.`,
      ['serving', 'lines'],
    );
  }
  const amounts = withSums(found.values, found.low, found.high, {});
  bound(tables.nutrients, amounts, Math.max(0, 100 - listed_g));
  return {
    ...ownRow(own, 'dry', energyOf(tables, found.values, label.energy_kcal_per_100g), amounts),
    locator: 'label of a supplement',
  };
}

function listed(nutrients: readonly NutrientRow[], values: Amounts): number {
  let total_g = 0;
  for (const { key, unit, group } of nutrients) {
    const amount = values[key];
    // A fatty acid is part of the fat, an amino acid of the protein: not added twice.
    if (amount === undefined || key in SUMS || (PARTS_OF[group] ?? '') in values) continue;
    total_g += amount * (GRAMS[unit] ?? 1);
  }
  return total_g;
}

function bound(nutrients: readonly NutrientRow[], amounts: Bounded, rest_g: number): void {
  for (const { key, unit, group } of nutrients) {
    if (key in amounts.values || key in amounts.high) continue;
    const whole_g = amounts.values[PARTS_OF[group] ?? ''] ?? 0;
    if (unit === 'g') amounts.high[key] = (amounts.low[key] ?? 0) + rest_g + whole_g;
    else if (!(key in amounts.low)) amounts.high[key] = 0;
  }
}

function energyOf(
  tables: LabelTables,
  values: Amounts,
  printed: number | null,
): Pick<FoodRow, 'energy_kcal_per_100g' | 'energy_method'> {
  if (printed !== null) {
    checkPrinted(printed);
    return { energy_kcal_per_100g: printed, energy_method: 'label' };
  }
  const energy_kcal_per_100g = atwater(tables.energy, {
    protein_g: values.protein ?? 0,
    fat_g: values.fat ?? 0,
    carbohydrate_g: values.carbohydrate ?? 0,
  });
  return { energy_kcal_per_100g, energy_method: 'atwater' };
}
