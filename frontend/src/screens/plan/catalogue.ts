/** All foods a household can use: the published table and its own. */
import type { Rec } from '../../db/store.svelte';
import type { FoodRow, Tables } from '../../domain/tables';
import { groupWords } from '../../domain/search';
import { InputError } from '../../domain/input-error';
import { composed, isSupplement } from '../../domain/own-foods';
import { completeness } from '../stores/food-page';
import type { FoodChoice } from './foods';

/** A food of the household that has not been put away. */
export function isInUse(food: Rec<'food'>): boolean {
  return food.values.archived !== true;
}

/** The name of a food by its key; the key itself when no table here knows it. */
export function foodNames(
  tables: Tables | null,
  own: readonly Rec<'food'>[],
): (key: string) => string {
  const names = new Map<string, string>(tables?.foods.map((food) => [food.key, food.name]) ?? []);
  for (const food of own) names.set(food.rid, food.values.name);
  return (key) => names.get(key) ?? 'A food this phone does not know yet';
}

/** A food of the household as a row of the table; null when it cannot be worked out. */
export function ownFood(tables: Tables, food: Rec<'food'>): FoodRow | null {
  try {
    return composed(tables, food.values, food.rid);
  } catch (error) {
    // It contradicts itself: it is shown as not counted until somebody mends it.
    if (error instanceof InputError) return null;
    throw error;
  }
}

/** The keeping chart's class of a food by its key: a copy keeps as what it was made of. */
export function keepingClasses(
  tables: Tables | null,
  own: readonly Rec<'food'>[],
): (key: string) => string | null {
  const classes = new Map(tables?.foods.map((food) => [food.key, food.keeping_class]) ?? []);
  for (const food of own) {
    const { copied_from } = food.values;
    if (copied_from != null) classes.set(food.rid, classes.get(copied_from) ?? null);
    else if (tables !== null) classes.set(food.rid, ownFood(tables, food)?.keeping_class ?? null);
  }
  return (key) => classes.get(key) ?? null;
}

function tableChoice(tables: Tables, food: FoodRow, group: string, in_store_g: number): FoodChoice {
  return {
    key: food.key,
    name: food.name,
    also: food.also ?? [],
    group: groupWords(food.group, group),
    shown_group: group,
    style: food.style,
    is_own: false,
    is_in_store: in_store_g > 0,
    in_store_g,
    known: completeness(tables, food),
  };
}

function ownGroup(food: Rec<'food'>): string {
  if (isSupplement(food.values)) return 'Supplement, your own';
  if (food.values.copied_from != null) return 'Your own figures';
  return food.values.style === 'dry' ? 'Dry food, your own' : 'Your own';
}

function ownChoice(tables: Tables | null, food: Rec<'food'>, in_store_g: number): FoodChoice {
  const row = tables === null ? null : ownFood(tables, food);
  const base = tables?.foods.find((each) => each.key === food.values.copied_from);
  const group = ownGroup(food);
  return {
    key: food.rid,
    name: food.values.name,
    // A copy answers to everything its original is called.
    also: base === undefined ? [] : [base.name, ...(base.also ?? [])],
    group,
    shown_group: group,
    style: food.values.style ?? 'dry',
    is_own: true,
    is_in_store: in_store_g > 0,
    in_store_g,
    known: tables === null || row === null ? null : completeness(tables, row),
  };
}

/** Everything that can be picked, with what is in store of it. */
export function choices(
  tables: Tables | null,
  own: readonly Rec<'food'>[],
  inStore_g: ReadonlyMap<string, number>,
): FoodChoice[] {
  const groups = new Map(tables?.groups?.map(({ key, name }) => [key, name]) ?? []);
  const ofTable = tables?.foods.map((food) =>
    tableChoice(tables, food, groups.get(food.group) ?? food.group, inStore_g.get(food.key) ?? 0),
  );
  return [
    ...own.filter(isInUse).map((food) => ownChoice(tables, food, inStore_g.get(food.rid) ?? 0)),
    ...(ofTable ?? []),
  ];
}
