/** A copy of a table's food with figures of the household's own. */

import { cutWithBone } from './cuts.ts';
import { InputError } from './input-error.ts';
import { checkPrinted } from './label-energy.ts';
import { checkNutrients, type LabelTables, type OwnName } from './labels.ts';
import { bounds, SUMS, withSums, type Amounts, type Bounded } from './sums.ts';
import type { FoodRow, Tables } from './tables.ts';

const PROXIMATES = ['water', 'protein', 'fat', 'carbohydrate', 'fibre', 'ash'] as const;
const ENERGY_PARTS = ['protein', 'fat', 'carbohydrate'] as const;
/** Tables add up to a little more or less than 100, since each figure is an analysis of its own. */
const MOST_PROXIMATES_G = 103;

export type CopyTables = LabelTables & Pick<Tables, 'foods' | 'bones' | 'cuts'>;

export interface CopyEdits {
  readonly own: Amounts;
  readonly energy_kcal_per_100g: number | null;
  readonly bone_share_pct: number | null;
}

/** Whether the table says what a food is mixed from, so that its bone can be shared out anew. */
export function hasOwnBone(tables: Pick<Tables, 'cuts'>, key: string): boolean {
  return (tables.cuts ?? []).some((cut) => cut.key === key);
}

/** The copy: own figures in place of the table's, all others as they are. */
export function editedCopy(
  tables: CopyTables,
  base: FoodRow,
  edits: CopyEdits,
  name: OwnName,
): FoodRow {
  checkNutrients(tables.nutrients, edits.own, name.name);
  const mixed =
    edits.bone_share_pct === null ? base : withShare(tables, base, edits.bone_share_pct);
  const amounts = replaced(tables, mixed, edits.own);
  const total_g = PROXIMATES.reduce((sum, part) => sum + (amounts.values[part] ?? 0), 0);
  if (PROXIMATES.some((part) => part in edits.own) && total_g > MOST_PROXIMATES_G) {
    throw new InputError(
      `${name.name}: water, protein, fat, carbohydrate, fibre and ash add up to ${total_g.toFixed(1)} g per 100 g. Change the others too, the water most likely.`,
      ['nutrients_per_100g'],
    );
  }
  // The table's own account of each figure and of its range no longer holds for a copy.
  const {
    low: _low,
    high: _high,
    from: _from,
    range_from: _rangeFrom,
    verified: _verified,
    energy_range: _energyRange,
    completeness: _completeness,
    gap,
    ...rest
  } = mixed;
  const left = Object.entries(gap ?? {}).filter(([key]) => !(key in amounts.values));
  return {
    ...rest,
    ...name,
    energy_kcal_per_100g: energyOf(tables, mixed, edits),
    energy_method: edits.energy_kcal_per_100g === null ? mixed.energy_method : 'label',
    v: amounts.values,
    ...bounds(amounts),
    ...(left.length > 0 ? { gap: Object.fromEntries(left) } : {}),
  };
}

function withShare(tables: CopyTables, base: FoodRow, bone_share_pct: number): FoodRow {
  const cut = tables.cuts?.find((each) => each.key === base.key);
  const boneless = tables.foods.find((each) => each.key === cut?.boneless);
  const bone = tables.bones?.find((each) => each.key === cut?.bone);
  if (boneless === undefined || bone === undefined) {
    throw new InputError(
      `${base.name} is not a cut with bone in the table, so it has no share of bone to change. Take the share out.`,
      ['bone_share_pct'],
    );
  }
  if (!(bone_share_pct >= 0 && bone_share_pct <= 100)) {
    throw new InputError(`The share of bone is ${bone_share_pct} %; it lies between 0 and 100 %.`, [
      'bone_share_pct',
    ]);
  }
  return cutWithBone(tables, base, { boneless, bone, share: bone_share_pct / 100 });
}

function replaced(tables: LabelTables, base: FoodRow, own: Amounts): Bounded {
  // A pair whose part is replaced no longer holds, unless it was typed itself.
  const stale = Object.keys(SUMS).filter((pair) => SUMS[pair]?.some((part) => part in own));
  const gone = new Set([...Object.keys(own), ...stale]);
  const kept = (amounts: Amounts | undefined) =>
    Object.fromEntries(Object.entries(amounts ?? {}).filter(([key]) => !gone.has(key)));
  return withSums(
    { ...kept(base.v), ...own },
    kept(base.low),
    kept(base.high),
    tables.group_upper[base.group] ?? {},
  );
}

function energyOf(tables: LabelTables, base: FoodRow, edits: CopyEdits): number {
  if (edits.energy_kcal_per_100g !== null) {
    checkPrinted(edits.energy_kcal_per_100g);
    return edits.energy_kcal_per_100g;
  }
  const { food } = tables.energy;
  const factors = base.energy_method === 'modified_atwater' ? food.modified_atwater : food.atwater;
  const energy = ENERGY_PARTS.reduce((kcal, part) => {
    const amount = edits.own[part];
    return amount === undefined ? kcal : kcal + factors[part] * (amount - (base.v[part] ?? 0));
  }, base.energy_kcal_per_100g);
  return Math.max(0, energy);
}
