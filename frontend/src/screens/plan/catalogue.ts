/** All foods a household can use: the published table and its own. */
import type { Rec } from '../../db/store.svelte';
import type { FoodRow, Tables } from '../../domain/tables';
import type { FoodChoice } from './foods';

/** What people in a kitchen call a food, where the table names it differently. */
const ALSO: readonly (readonly [RegExp, readonly string[]])[] = [
  [/minced/i, ['mince', 'ground', 'hamburger']],
  [/lamb|mutton/i, ['sheep']],
  [/beef/i, ['cow', 'ox', 'cattle']],
  [/pork/i, ['pig']],
  [/chicken/i, ['hen', 'fowl']],
  [/liver|kidney|spleen|pancreas/i, ['offal', 'organ meat']],
  [/heart|gizzard|tripe|lung/i, ['offal']],
  [/pancreas/i, ['sweetbread']],
  [/spleen/i, ['melt', 'milt']],
  [/prawn/i, ['shrimp']],
  [/courgette/i, ['zucchini']],
  [/maize/i, ['corn']],
  [/linseed/i, ['flax', 'flaxseed']],
  [/eggshell/i, ['calcium']],
  [/kelp|seaweed/i, ['iodine', 'algae']],
  [/curd|quark/i, ['cottage cheese']],
];

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

function tableChoice(food: FoodRow, group: string, in_store_g: number): FoodChoice {
  return {
    key: food.key,
    name: food.name,
    synonyms: ALSO.filter(([pattern]) => pattern.test(food.name)).flatMap(([, words]) => words),
    group,
    style: food.style,
    is_own: false,
    in_store_g,
  };
}

function ownChoice(food: Rec<'food'>, in_store_g: number): FoodChoice {
  const style = food.values.style ?? 'dry';
  return {
    key: food.rid,
    name: food.values.name,
    synonyms: [],
    group: style === 'dry' ? 'Dry food, your own' : 'Your own',
    style,
    is_own: true,
    in_store_g,
  };
}

/** Everything that can be picked, with what is in store of it. */
export function choices(
  tables: Tables | null,
  own: readonly Rec<'food'>[],
  inStore_g: ReadonlyMap<string, number>,
): FoodChoice[] {
  const groups = new Map(tables?.groups?.map(({ key, name }) => [key, name]) ?? []);
  return [
    ...own.filter(isInUse).map((food) => ownChoice(food, inStore_g.get(food.rid) ?? 0)),
    ...(tables?.foods ?? []).map((food) =>
      tableChoice(food, groups.get(food.group) ?? food.group, inStore_g.get(food.key) ?? 0),
    ),
  ];
}
