/** What can be in a bowl: a food, a batch, or a bag of one; with its energy and its parts. */
import type { Rec } from '../../db/store.svelte';
import type { Batch, Served } from '../../domain/kinds';
import type { Kitchen, Portion } from '../plan/judged';

export type DishKind =
  'ground' | 'chopped' | 'cooked' | 'bone_in' | 'dry' | 'raw' | 'treat' | 'other';

export interface Dish {
  readonly what: Served;
  /** Key of what it is made of: the batch for its bags, else the thing itself. */
  readonly same: string;
  readonly name: string;
  readonly kind: DishKind;
  /** Metabolisable energy [kcal/g]; null when a part of it is unknown. */
  readonly energy_kcal_per_g: number | null;
  /** Grams of each food in one gram of the dish; empty when nobody knows. */
  readonly parts: readonly Portion[];
}

export interface Pantry {
  readonly kitchen: Kitchen;
  readonly own: readonly Rec<'food'>[];
  readonly batches: ReadonlyMap<string, Rec<'batch'>>;
  readonly bags: ReadonlyMap<string, Rec<'bag'>>;
  readonly weighIns: ReadonlyMap<string, readonly Rec<'weigh_in'>[]>;
}

const methodWords: Readonly<Record<Batch['method'], string>> = {
  ground: 'ground',
  chopped: 'chopped',
  cooked: 'cooked',
  bone_in: 'bone in',
  dry_mix: 'with dry food',
};

export function batchName(batch: Batch): string {
  if (batch.name != null) return batch.name;
  const number = batch.number ? `Batch ${batch.number}` : 'A batch';
  return `${number}, ${methodWords[batch.method]}`;
}

/** Grams of each food that went in: what was weighed, or while nothing was, what is planned. */
function putIn(batch: Rec<'batch'>, pantry: Pantry): Portion[] {
  const weighed = pantry.weighIns.get(batch.rid) ?? [];
  const lines: readonly Portion[] =
    weighed.length > 0
      ? weighed.map(({ values }) => ({ food: values.food, mass_g: values.mass_g }))
      : (batch.values.plan ?? []);
  const sums = new Map<string, number>();
  for (const { food, mass_g } of lines) sums.set(food, (sums.get(food) ?? 0) + mass_g);
  return [...sums].map(([food, mass_g]) => ({ food, mass_g }));
}

/**
 * Grams of each food in a gram of the batch.
 *
 * By the mass that came out where it was weighed: what cooks off is water, so a gram of the
 * finished food holds more of everything than a gram of what went in.
 */
export function partsOf(batch: Rec<'batch'>, pantry: Pantry): Portion[] {
  const lines = putIn(batch, pantry);
  const whole_g = batch.values.yield_g ?? lines.reduce((sum, line) => sum + line.mass_g, 0);
  if (whole_g <= 0) return [];
  return lines.map((line) => ({ food: line.food, mass_g: line.mass_g / whole_g }));
}

function energyOf(parts: readonly Portion[], kitchen: Kitchen): number | null {
  if (parts.length === 0) return null;
  let energy = 0;
  for (const { food, mass_g } of parts) {
    const row = kitchen.food(food);
    if (row === null) return null;
    energy += (mass_g * row.energy_kcal_per_100g) / 100;
  }
  return energy > 0 ? energy : null;
}

function foodKind(key: string, pantry: Pantry): DishKind {
  const own = pantry.own.find((food) => food.rid === key);
  const style = own?.values.style ?? pantry.kitchen.food(key)?.style ?? null;
  return style === 'wet' ? 'cooked' : (style ?? 'other');
}

/** The dish behind what a serving names; a food or batch this phone does not know keeps a plain name. */
export function dishOf(what: Served, pantry: Pantry): Dish {
  if (what.food) {
    const parts = [{ food: what.food, mass_g: 1 }];
    return {
      what,
      same: what.food,
      name: pantry.kitchen.name(what.food),
      kind: foodKind(what.food, pantry),
      energy_kcal_per_g: energyOf(parts, pantry.kitchen),
      parts,
    };
  }
  const bag = what.bag ? pantry.bags.get(what.bag) : undefined;
  const batchId = bag?.values.batch ?? what.batch ?? null;
  const batch = batchId === null ? undefined : pantry.batches.get(batchId);
  if (batch === undefined) {
    const name = 'Food this phone does not know yet';
    return {
      what,
      same: batchId ?? 'unknown',
      name,
      kind: 'other',
      energy_kcal_per_g: null,
      parts: [],
    };
  }
  const parts = partsOf(batch, pantry);
  return {
    what,
    same: batch.rid,
    name: batchName(batch.values),
    kind: batch.values.method === 'dry_mix' ? 'other' : batch.values.method,
    energy_kcal_per_g: energyOf(parts, pantry.kitchen),
    parts,
  };
}

/** What one serving names, as a key to compare with. */
export function servedKey(what: Served): string {
  return what.bag ?? what.batch ?? what.food ?? '';
}

/** Whether raw meat is in it: then the bowl and the hands are washed. */
export function isRaw(dish: Dish, kitchen: Kitchen): boolean {
  if (dish.kind === 'cooked' || dish.kind === 'dry' || dish.kind === 'treat') return false;
  if (dish.kind === 'raw') return true;
  return dish.parts.some(({ food }) => kitchen.food(food)?.style === 'raw');
}
