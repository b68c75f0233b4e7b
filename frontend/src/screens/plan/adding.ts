/** What may be added to a batch to mend it, and the additions in grams that can be weighed. */
import { isSupplement } from '../../domain/own-foods';
import type { Additions, Offer } from '../../domain/proposal-mend';
import type { CautionRow, FoodRow, Tables } from '../../domain/tables';
import { shortFigure } from '../../ui/beams';
import { isInUse } from './catalogue';
import { ABOUT_FOODS, among, batchMoments, cautionsAt, isMeat } from './cautions';
import { hazardsNamed } from './foods';
import type { Kitchen, Portion, Verdict } from './judged';
import type { PlanLine } from './plan';
import { ingredientsOf, limitsOf, lotsOf, type Proposing } from './proposing';
import type { MendAsk } from './solver-work';

/** One food to add, in whole grams. */
export interface Added {
  readonly food: string;
  readonly mass_g: number;
  readonly is_bought: boolean;
}

/** What a household can buy: no cooked meat, and nothing whose name is a hazard's. */
function forSale(tables: Tables): FoodRow[] {
  return tables.foods.filter(
    (food) =>
      !(food.style === 'cooked' && isMeat(food)) &&
      hazardsNamed(tables.hazards ?? [], food.name).length === 0,
  );
}

function offersOf(given: Proposing, tables: Tables, lines: readonly PlanLine[]): Offer[] {
  const stored = new Map<string, number>();
  for (const { food, mass_g } of lotsOf(given)) stored.set(food, (stored.get(food) ?? 0) + mass_g);
  const left = [...stored].flatMap(([food, mass_g]): Offer[] => {
    const used_g = lines.find((line) => line.food === food)?.mass_g ?? 0;
    return mass_g > used_g ? [{ food, stored_g: mass_g - used_g }] : [];
  });
  const own = given.larder.foods.filter((food) => isInUse(food) && isSupplement(food.values));
  const bought = [...own.map(({ rid }) => rid), ...forSale(tables).map(({ key }) => key)];
  return [...left, ...bought.map((food) => ({ food }))].filter(
    ({ food }) => given.kitchen.food(food) !== null,
  );
}

/**
 * The question what would mend a batch; null when nothing is short. The batch's own energy is the
 * measure, so that it can be asked while a dog's need is not known. Foods that were left out stay
 * out; a pinned one may be added to.
 */
export function mendAskOf(
  given: Proposing,
  lines: readonly PlanLine[],
  verdict: Verdict,
): Omit<MendAsk, 'what'> | null {
  const { tables } = given.kitchen;
  const isShort = verdict.rows.some(({ word }) => word === 'short');
  if (tables === null || !isShort || verdict.missing.length > 0) return null;
  const offers = offersOf(given, tables, lines);
  const keys = [...lines, ...offers].map(({ food }) => food);
  return {
    problem: {
      energy_kcal: verdict.energy_kcal,
      ingredients: ingredientsOf(given, keys),
      lots: [],
      choices: given.choices.filter(({ food, most_g }) => most_g === 0 && keys.includes(food)),
      ...limitsOf(given, tables),
    },
    batch: Object.fromEntries(lines.map(({ food, mass_g }) => [food, mass_g])),
    offers,
  };
}

/** The lines with all additions in. */
export function withAdded(lines: readonly PlanLine[], added: readonly Added[]): PlanLine[] {
  const masses = new Map(lines.map(({ food, mass_g }) => [food, mass_g]));
  for (const { food, mass_g } of added) masses.set(food, (masses.get(food) ?? 0) + mass_g);
  return [...masses].map(([food, mass_g]) => ({ food, mass_g }));
}

/** Below it a gram is much of an addition, and less than what mends is no mend. */
const SMALL_G = 10;

/** To whole grams; the first way that puts nothing over which was not over is taken. */
const ROUNDINGS: readonly ((mass_g: number) => number)[] = [
  (mass_g) => (mass_g < SMALL_G ? Math.ceil(mass_g) : Math.round(mass_g)),
  (mass_g) => Math.max(1, Math.floor(mass_g)),
];

export interface Weighing {
  readonly kitchen: Kitchen;
  readonly lines: readonly PlanLine[];
  readonly judge: (portions: readonly Portion[]) => Verdict;
  /** The energy the rest of the batch makes room in, once the additions are in it; else null. */
  readonly held_kcal: number | null;
}

/** What part of batch and additions together holds the energy that is held. */
function roomFor({ additions }: Additions, { kitchen, lines, held_kcal }: Weighing): number {
  const energy_kcal = [...lines, ...additions].reduce(
    (all, { food, mass_g }) =>
      all + ((kitchen.food(food)?.energy_kcal_per_100g ?? 0) * mass_g) / 100,
    0,
  );
  return held_kcal === null || energy_kcal <= 0 ? 1 : Math.min(1, held_kcal / energy_kcal);
}

/** The additions in grams that a kitchen scale shows, and the batch as it then stands. */
export interface Weighed {
  readonly added: readonly Added[];
  readonly after: Verdict;
}

export function weighed(mended: Additions, weighing: Weighing): Weighed {
  const { lines, judge } = weighing;
  const part = roomFor(mended, weighing);
  const base = lines.map(({ food, mass_g }) => ({ food, mass_g: mass_g * part }));
  const over = (verdict: Verdict) =>
    verdict.rows.filter(({ word }) => word === 'over').map(({ nutrient }) => nutrient);
  const before = new Set(over(judge(lines)));
  const ways = ROUNDINGS.map((round): Weighed => {
    const added = mended.additions.map((each) => ({ ...each, mass_g: round(each.mass_g * part) }));
    return { added, after: judge(withAdded(base, added)) };
  });
  const isFine = ({ after }: Weighed) => over(after).every((nutrient) => before.has(nutrient));
  return ways.find(isFine) ?? ways.at(-1) ?? { added: [], after: judge(lines) };
}

/** "Vitamin D 2.8 of 5.1 µg": what stays short per 1000 kcal with everything added. */
export function stillShort({ missed }: Additions, { tables }: Kitchen): string[] {
  return missed.flatMap(({ key, word, amount, limit }) => {
    const nutrient = tables?.nutrients.find((each) => each.key === key);
    if (nutrient === undefined || word !== 'short') return [];
    const had = amount === null ? '?' : shortFigure(amount, nutrient.decimals);
    return [`${nutrient.name} ${had} of ${shortFigure(limit, nutrient.decimals)} ${nutrient.unit}`];
  });
}

/** What to mind with a food before it is added; once it is in, the plan itself says so. */
export function careWith(
  { kind, tables }: Kitchen,
  lines: readonly PlanLine[],
  food: string,
): CautionRow[] {
  const found = kind(food);
  if (found === null || lines.some((line) => line.food === food)) return [];
  const moments = among(batchMoments([found], 'chopped', tables), ABOUT_FOODS);
  return cautionsAt(tables, moments);
}
