/** Which published cautions a batch calls for, and when. The rule is that of the server. */
import type { CautionRow, FoodRow, OriginTables, Tables } from '../../domain/tables';
import { doubtWords, sourceWords } from '../stores/keeping';
import type { Method } from './draft';

const MEAT = new Set([
  'red_meat',
  'poultry',
  'game',
  'heart',
  'liver',
  'kidney',
  'organ',
  'tripe',
  'bone_in',
  'whole_prey',
  'oily_fish',
  'white_fish',
  'shellfish',
]);

const MOMENT_OF: Readonly<Record<string, string>> = {
  poultry: 'poultry_raw',
  game: 'game_raw',
  oily_fish: 'fish_raw',
  white_fish: 'fish_raw',
  bone_in: 'bone',
  whole_prey: 'bone',
  liver: 'liver',
  fish_oil: 'supplement',
  mineral: 'supplement',
  supplement: 'supplement',
  seaweed: 'seaweed',
  own: 'own_food',
};
const RAW_ONLY = new Set(['poultry_raw', 'game_raw', 'fish_raw']);

const PIGS = new Set(['pork', 'wild_boar']);

type Kind = Pick<FoodRow, 'group' | 'style' | 'bone_share' | 'keeping_class'> & {
  readonly key?: string;
};

export function isMeat(food: Pick<Kind, 'group'>): boolean {
  return MEAT.has(food.group);
}

export function isRawMeat(food: Kind): boolean {
  return food.style === 'raw' && isMeat(food);
}

export function hasBone(food: Kind): boolean {
  return food.group === 'bone_in' || food.group === 'whole_prey' || (food.bone_share ?? 0) > 0;
}

function momentsOf(food: Kind, origins: OriginTables | undefined): string[] {
  const isRaw = isRawMeat(food);
  const moments = isRaw ? ['raw', 'weigh_in', 'batch_done'] : [];
  const moment = MOMENT_OF[food.group];
  if (moment !== undefined && (isRaw || !RAW_ONLY.has(moment))) moments.push(moment);
  if (food.group === 'egg' && food.style === 'raw') moments.push('egg_raw');
  const species = origins?.by_food[food.key ?? '']?.[0];
  if (isRaw && species !== undefined && PIGS.has(species)) moments.push('pork_raw');
  if (food.bone_share !== null && (food.keeping_class ?? '').includes('poultry')) {
    moments.push('poultry_raw');
  }
  return moments;
}

/** The moments of a batch of these foods. */
export function batchMoments(
  foods: readonly Kind[],
  method: Method,
  tables: Pick<Tables, 'origins'> | null = null,
): Set<string> {
  const moments = new Set(foods.flatMap((food) => momentsOf(food, tables?.origins)));
  if (method === 'ground') {
    moments.add('grinder');
    if (moments.has('bone')) moments.add('grinder_bone');
  }
  return moments;
}

/** Cautions of the moments asked for, in the order of the table. */
export function cautionsAt(tables: Tables | null, moments: ReadonlySet<string>): CautionRow[] {
  return (tables?.cautions ?? []).filter((caution) => moments.has(caution.moment));
}

/** Who says each of them, and which was not yet compared with what is printed there. */
export function cautionSources(
  tables: Pick<Tables, 'sources'> | null,
  cautions: readonly CautionRow[],
): string[] {
  return cautions.map(
    ({ source, verified }) => sourceWords(tables?.sources ?? {}, source) + doubtWords(verified),
  );
}

/** Before weighing: hands and raw meat. */
export const BEFORE: readonly string[] = [
  'raw',
  'weigh_in',
  'poultry_raw',
  'fish_raw',
  'game_raw',
  'pork_raw',
];
/**
 * Before weighing, by how it is made. A grinder has its own caution about bone; where bone stays in
 * one piece, or might be cooked with the rest, it is said before the first pack is opened.
 */
export function beforeMoments(moments: ReadonlySet<string>, method: Method): Set<string> {
  const isWhole = method !== 'ground';
  return among(moments, isWhole ? [...BEFORE, 'bone'] : BEFORE);
}

/** Before the grinder: hands in a machine. */
export const GRINDER: readonly string[] = ['grinder', 'grinder_bone'];
/** When it is done. */
export const AFTER: readonly string[] = ['batch_done'];
/** About what is in it: read while planning. */
export const ABOUT_FOODS: readonly string[] = [
  'bone',
  'liver',
  'supplement',
  'seaweed',
  'fatty',
  'own_food',
  'fish_raw',
  'game_raw',
  'poultry_raw',
  'pork_raw',
  'egg_raw',
];

/**
 * What to know of a food that goes in without having been planned, and so was not read in the plan.
 * What is ticked before weighing or grinding is not said twice.
 */
export function cautionsUnplanned(tables: Tables | null, food: Kind, method: Method): CautionRow[] {
  const moments = batchMoments([food], method, tables);
  const ticked = new Set([...BEFORE, 'bone']);
  return cautionsAt(
    tables,
    among(
      moments,
      ABOUT_FOODS.filter((moment) => !ticked.has(moment)),
    ),
  );
}

/** The moments of a batch that belong to one point of the work. */
export function among(moments: ReadonlySet<string>, point: readonly string[]): Set<string> {
  return new Set(point.filter((moment) => moments.has(moment)));
}

/** A caution as a tick: its first sentence in large letters, the rest below. */
export function asTick(caution: CautionRow): {
  readonly key: string;
  readonly title: string;
  readonly detail?: string;
} {
  const end = caution.text.search(/[.:] /);
  if (end < 0) return { key: caution.key, title: caution.text.replace(/\.$/, '') };
  const rest = caution.text.slice(end + 2);
  return {
    key: caution.key,
    title: caution.text.slice(0, end),
    detail: rest.charAt(0).toUpperCase() + rest.slice(1),
  };
}

/** "One to tick", "Three to tick": the words of a button that is not ready. */
export function leftToTick(all: readonly string[], ticked: ReadonlySet<string>): number {
  return all.filter((key) => !ticked.has(key)).length;
}
