/** Another food in place of the one that was planned: what is there for it, and the plan with it. */
import { edit, type Rec } from '../../db/store.svelte';
import type { FoodRow } from '../../domain/tables';
import { inStore_g, type Shelves } from '../stores/larder';
import { mergedPlan, type PlanLine, type WeighLine } from './weigh-in';

export interface StandIn {
  readonly food: string;
  readonly in_store_g: number;
  /** Thawed, or never frozen: it can go in now. */
  readonly at_hand_g: number;
}

/** Grams of a food that are still to go in. */
export function stillToGo_g(line: WeighLine | undefined): number {
  return Math.max(0, (line?.planned_g ?? 0) - (line?.in_bowl_g ?? 0));
}

/** Grams of each food that lie thawed or were never frozen. */
function atHand_g(larder: Shelves): Map<string, number> {
  const masses = new Map<string, number>();
  for (const { rec, stock } of larder.lots) {
    const place = rec.values.place ?? 'freezer';
    const mass_g = place === 'freezer' ? stock.thawed_g : stock.total_g;
    const { food } = rec.values;
    masses.set(food, (masses.get(food) ?? 0) + Math.max(0, mass_g));
  }
  return masses;
}

/** How unlike two foods are: the same group is nearest, then what keeps alike, then what is raw alike. */
function distance(one: FoodRow | null, other: FoodRow | null): number {
  if (one === null || other === null) return 3;
  if (one.group === other.group) return 0;
  if (one.keeping_class !== null && one.keeping_class === other.keeping_class) return 1;
  return one.style === other.style ? 2 : 3;
}

/**
 * Everything in store that could stand in for a food, the likeliest first: of its kind, at hand,
 * and enough of it.
 */
export function standIns(
  larder: Shelves,
  food: string,
  mass_g: number,
  kind: (food: string) => FoodRow | null,
): StandIn[] {
  const atHand = atHand_g(larder);
  const own = kind(food);
  return [...inStore_g(larder)]
    .filter(([each, in_store_g]) => each !== food && in_store_g > 0)
    .map(([each, in_store_g]) => ({ food: each, in_store_g, at_hand_g: atHand.get(each) ?? 0 }))
    .sort(
      (a, b) =>
        distance(own, kind(a.food)) - distance(own, kind(b.food)) ||
        Number(b.at_hand_g > 0) - Number(a.at_hand_g > 0) ||
        Number(b.in_store_g >= mass_g) - Number(a.in_store_g >= mass_g) ||
        b.in_store_g - a.in_store_g ||
        a.food.localeCompare(b.food),
    );
}

/** The plan with the grams still to go given to another food; what is in the bowl stays. */
export function swapped(
  plan: readonly PlanLine[],
  line: WeighLine | undefined,
  instead: string,
): PlanLine[] {
  const toGo_g = stillToGo_g(line);
  const merged = mergedPlan(plan);
  if (line === undefined || toGo_g === 0 || line.food === instead) return merged;
  const changed = merged.flatMap((each): PlanLine[] => {
    if (each.food !== line.food) return [each];
    const standIn = { food: instead, mass_g: toGo_g };
    return line.in_bowl_g > 0
      ? [{ food: each.food, mass_g: Math.round(line.in_bowl_g) }, standIn]
      : [standIn];
  });
  return mergedPlan(changed);
}

/** Writes the swap into the batch, so that both phones weigh the same. */
export async function swapIn(
  batch: Rec<'batch'>,
  line: WeighLine | undefined,
  instead: string,
): Promise<void> {
  if (stillToGo_g(line) === 0) return;
  await edit(batch, { plan: swapped(batch.values.plan ?? [], line, instead) });
}
