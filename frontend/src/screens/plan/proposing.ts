/** What the household has, wants and settled, as a problem for the proposal. */
import type { Rec } from '../../db/store.svelte';
import { least, most, totals } from '../../domain/composition';
import { excesses } from '../../domain/excess';
import type { Dog } from '../../domain/kinds';
import { COMMON_ORGAN_PCT } from '../../domain/organs';
import { isSupplement } from '../../domain/own-foods';
import type { Proposal } from '../../domain/proposal';
import type {
  Choice,
  ProposalFood,
  ProposalLot,
  ProposalProblem,
  RatioWanted,
  Wanted,
} from '../../domain/proposal-problem';
import type { FoodRow, Tables } from '../../domain/tables';
import { sum } from '../../domain/sums';
import { daysBetween } from '../../ui/days';
import { listed } from '../../ui/words';
import { isInFreezer, type Shelves, type Stocked } from '../stores/larder';
import { lotUseBy } from '../stores/store-rows';
import { isInUse } from './catalogue';
import type { Eater } from './eaters';
import { forbids, hazardsNamed } from './foods';
import type { Kitchen } from './judged';
import { capOf, natureOf, shareCapsOf } from './own-limits';
import { handy_g, type PlanLine } from './plan';
import { frozen_g, spare_g, type PullState } from './pulls';
import { goodThaws } from './pulls-rows';
import { askedBy, type Asked } from './yardsticks';

/** What the last fortnight says: what was fed, and what it lacked. */
export interface Lately {
  /** Share of the energy by animal, 0 to 1. */
  readonly fed: ReadonlyMap<string, number>;
  /** What each nutrient lacked in all, by dog: in the nutrient's unit. */
  readonly lacked: readonly {
    readonly dog: string;
    readonly amounts: ReadonlyMap<string, number>;
  }[];
}

export const nothingLately: Lately = { fed: new Map(), lacked: [] };

export interface Proposing {
  readonly kitchen: Kitchen;
  readonly larder: Shelves;
  readonly eaters: readonly Eater[];
  readonly dogs: readonly Rec<'dog'>[];
  readonly lately: Lately;
  readonly choices: readonly Choice[];
  readonly days: number;
  readonly today: string;
  /** The instant from which what is past its days is no food any more. */
  readonly now: string;
  readonly fridge_c: number | null;
  /** Pulls of meals and of batches still to be made: what they name is spoken for. */
  readonly pulls?: readonly PullState[];
  /** The batch itself: its own pulls are for it. */
  readonly batch?: string;
}

/** Thawed packs go before the oldest frozen one: they do not keep. Our choice; it only orders. */
const THAWED_OLDER_DAYS = 30;

/**
 * Limits that the verdict tells of, but that leave nothing out. The highest lysine for a growing
 * dog was found with the free amino acid added to purified diets (Czarnecki and others, J. Nutr.
 * 115, 1985; from memory), and every lean meat is over it: a proposal that kept it was chicken
 * neck and fat, short of nearly everything.
 */
const TOLD_ONLY: ReadonlySet<string> = new Set(['lysine']);

function smallest(values: readonly (number | null | undefined)[]): number | null {
  const present = values.filter((value) => value != null);
  return present.length === 0 ? null : Math.min(...present);
}

function ageOf(lot: Rec<'lot'>, today: string): number | null {
  const day = lot.values.frozen_on ?? lot.values.bought_on;
  return day == null ? null : Math.max(0, daysBetween(day, today));
}

/** The currency that most lots have a price in; the first by its letters where several do. */
function usualCurrency(lots: readonly Stocked<'lot'>[]): string | null {
  const counts = new Map<string, number>();
  for (const { rec } of lots) {
    const currency = rec.values.price?.currency;
    if (currency) counts.set(currency, (counts.get(currency) ?? 0) + 1);
  }
  const [most] = [...counts].sort(([a, m], [b, n]) => n - m || a.localeCompare(b));
  return most?.[0] ?? null;
}

/**
 * What the lot cost [currency/kg]: its price over all that was ever put in store of it. A price in
 * another currency than the usual one counts as not known, since nobody here knows the rate.
 */
function pricePerKg(lot: Stocked<'lot'>, currency: string | null): number | null {
  const { stored_g } = lot;
  const { price } = lot.rec.values;
  if (!price || price.currency !== currency || stored_g <= 0) return null;
  return (price.minor * 10) / stored_g;
}

/** The pulls of a lot for other batches and for meals: what they name is promised. */
function othersOf(lot: Stocked<'lot'>, { pulls = [], batch }: Proposing): readonly PullState[] {
  return pulls.filter(
    ({ rec: { values } }) =>
      values.of === lot.rec.rid && (values.batch == null || values.batch !== batch),
  );
}

/** Whether what was never frozen is past its day, as the counter will say; a freezer's is of quality. */
function isPastItsDay(lot: Stocked<'lot'>, { kitchen, today }: Proposing): boolean {
  if (isInFreezer(lot)) return false;
  const classOf = (food: string): string | null => kitchen.kind(food)?.keeping_class ?? null;
  const until = lotUseBy(lot, { classOf, keeping: kitchen.tables?.keeping ?? [] });
  return until !== null && until.day < today;
}

/** What lies in store and may go into a batch, frozen and thawed apart. */
export function lotsOf(given: Proposing): ProposalLot[] {
  const { kitchen, larder, choices, today, now, fridge_c } = given;
  const setting = { tables: kitchen.tables, larder, fridge_c };
  const asked = new Set(choices.filter((each) => (each.least_g ?? 0) > 0).map(({ food }) => food));
  const stocked = larder.lots.filter(({ rec, stock }) => {
    const food = rec.values.food;
    return stock.total_g > 0 && (asked.has(food) || goesIntoABatch(kitchen, larder, food));
  });
  const oldest = Math.max(0, ...stocked.map(({ rec }) => ageOf(rec, today) ?? 0));
  const currency = usualCurrency(stocked);
  return stocked.flatMap((lot) => {
    const { rec, stock } = lot;
    const base = { key: rec.rid, food: rec.values.food, price_per_kg: pricePerKg(lot, currency) };
    const others = othersOf(lot, given);
    const promised_g = sum(others.map(frozen_g));
    const thawed_g = Math.min(stock.thawed_g, stock.total_g);
    const left_g = isPastItsDay(lot, given) ? 0 : stock.total_g - thawed_g - promised_g;
    const good_g = Math.min(spare_g(goodThaws(lot, setting, Date.parse(now)), others), thawed_g);
    const age_days = ageOf(rec, today);
    return [
      { ...base, mass_g: left_g, pack_g: rec.values.pack_mass_g, age_days },
      { ...base, mass_g: good_g, pack_g: null, age_days: oldest + THAWED_OLDER_DAYS },
    ].filter(({ mass_g }) => mass_g > 0);
  });
}

/**
 * Dry food, treats, what was put away of the own foods and what is named after something that harms
 * dogs are no part of a batch, unless somebody puts them in.
 */
function goesIntoABatch(kitchen: Kitchen, larder: Shelves, key: string): boolean {
  const food = kitchen.food(key);
  if (food === null) return false;
  const own = larder.foods.find(({ rid }) => rid === key);
  if (own !== undefined && !isInUse(own)) return false;
  if (hazardsNamed(kitchen.tables?.hazards ?? [], kitchen.name(key)).some(forbids)) return false;
  return food.style !== 'dry' || (own !== undefined && isSupplement(own.values));
}

function ingredientOf(tables: Tables, food: FoodRow, kind: FoodRow, lately: Lately): ProposalFood {
  const keys = tables.nutrients.map(({ key }) => key);
  const known = (amount: (key: string) => number | null): Record<string, number> =>
    Object.fromEntries(
      keys.flatMap((key) => {
        const found = amount(key);
        return found === null ? [] : [[key, found]];
      }),
    );
  return {
    key: food.key,
    energy_kcal_per_100g: food.energy_kcal_per_100g,
    least: known((key) => least(food, key)),
    most: known((key) => most(tables, food, key)),
    ...natureOf(tables, food, kind),
    fed_share: lately.fed.get(tables.origins?.by_food[kind.key]?.[0] ?? '') ?? 0,
  };
}

/** The strictest wish of all eaters; a watched nutrient without a limit gets the lowest printed. */
function wantedOf(
  { eaters, lately, days }: Proposing,
  tables: Tables,
  own: Asked['own'],
  fatCap: number | null,
): Wanted[] {
  const watched = new Map(
    excesses(tables, totals(tables, []), own).map(({ nutrient, limit }) => [nutrient, limit]),
  );
  const compared = Object.entries(own.limits).filter(([, row]) => row.form?.is_compared !== false);
  const found = compared.map(([nutrient, row]): Wanted => {
    const minimum = row.recommended ?? row.minimum;
    const cap = nutrient === 'fat' ? fatCap : null;
    return {
      nutrient,
      minimum,
      maximum: TOLD_ONLY.has(nutrient) ? null : smallest([row.maximum, cap, watched.get(nutrient)]),
      lacked: lackedOf({ eaters, lately, days }, nutrient),
    };
  });
  const isFatAsked = found.some(({ nutrient }) => nutrient === 'fat');
  return fatCap === null || isFatAsked ? found : [...found, { nutrient: 'fat', maximum: fatCap }];
}

/** What the dog that lacked most has to make up, per 1000 kcal of what it eats of this batch. */
function lackedOf(
  { eaters, lately, days }: Pick<Proposing, 'eaters' | 'lately' | 'days'>,
  nutrient: string,
): number {
  return eaters.reduce((highest, { rid, energy_kcal_per_day }) => {
    const amount = lately.lacked.find(({ dog }) => dog === rid)?.amounts.get(nutrient) ?? 0;
    if (energy_kcal_per_day === null || amount <= 0) return highest;
    return Math.max(highest, (amount * 1000) / (energy_kcal_per_day * days));
  }, 0);
}

function ratiosOf(tables: Tables, { ratio }: Asked['own']): RatioWanted[] {
  const others = (tables.ratios.others ?? []).flatMap(({ key, top, bottom, maximum }) =>
    maximum === null ? [] : [{ key, top, bottom, maximum }],
  );
  const { minimum, maximum } = ratio;
  const calcium = { key: 'calcium_to_phosphorus', top: ['calcium'], bottom: ['phosphorus'] };
  return [{ ...calcium, minimum, maximum }, ...others];
}

/** What one of the dogs may not have, and the household's copies of it: the same food by nature. */
function forbiddenBy(dogs: readonly Dog[], own: Shelves['foods']): string[] {
  const named = new Set(dogs.flatMap((dog) => dog.may_not_have ?? []));
  const copies = own.filter(({ values }) => named.has(values.copied_from ?? ''));
  return [...new Set([...named, ...copies.map(({ rid }) => rid)])];
}

/** What the dogs that eat it ask together: amounts, ratios, and what they may not have. */
export function limitsOf(
  given: Proposing,
  tables: Tables,
): Omit<ProposalProblem, 'energy_kcal' | 'ingredients' | 'lots' | 'choices'> {
  const { eaters, dogs } = given;
  const eating = dogs.filter(({ rid }) => eaters.some((eater) => eater.rid === rid));
  const values = eating.map((dog) => dog.values);
  const { own } = askedBy(tables, eaters, null);
  // What is common holds for a dog without a limit of its own.
  const isOrganSettled = values.length > 0 && values.every((dog) => dog.caps?.organ_pct != null);
  const caps = values.map((dog) => dog.caps);
  return {
    wanted: wantedOf(given, tables, own, capOf(caps, 'fat_g_per_1000_kcal')),
    ratios: ratiosOf(tables, own),
    forbidden: forbiddenBy(values, given.larder.foods),
    ...shareCapsOf(caps),
    organ_practice: isOrganSettled ? null : COMMON_ORGAN_PCT / 100,
  };
}

/** Foods as the solver takes them; one whose composition is not known here is left out. */
export function ingredientsOf({ kitchen, lately }: Proposing, keys: Iterable<string>) {
  return [...new Set(keys)].flatMap((key): ProposalFood[] => {
    const food = kitchen.food(key);
    if (food === null || kitchen.tables === null) return [];
    const kind = kitchen.kind(key) ?? food;
    return [{ ...ingredientOf(kitchen.tables, food, kind, lately), key }];
  });
}

/** The problem; null while the need of a dog or the tables are not known. */
export function problemOf(given: Proposing): ProposalProblem | null {
  const { kitchen, eaters, choices, days } = given;
  const { tables } = kitchen;
  const needs = eaters.map((eater) => eater.energy_kcal_per_day);
  const energy_kcal = needs.reduce<number>((all, need) => all + (need ?? 0), 0) * days;
  if (tables === null || needs.includes(null) || energy_kcal <= 0) return null;
  const lots = lotsOf(given);
  const kept = choices.filter(({ food }) => kitchen.food(food) !== null);
  const keys = [...lots, ...kept].map(({ food }) => food);
  const ingredients = ingredientsOf(given, keys);
  return { energy_kcal, ingredients, lots, choices: kept, ...limitsOf(given, tables) };
}

/** How much of a food without packs is asked about. */
const WITHOUT_PACK_G = 100;

/** Less is no gram on a scale; rounded up to one, a strong supplement would be many times too much. */
const LEAST_LINE_G = 0.5;

/**
 * The plan of a proposal: one line for each food, in grams that can be weighed. What somebody
 * pinned keeps its grams: rounded, an addition that mends a shortfall would mend it no more.
 */
export function linesOf(proposal: Proposal, choices: readonly Choice[] = []): PlanLine[] {
  const pinned = new Set(
    choices
      .filter(({ least_g, most_g }) => most_g != null && least_g === most_g)
      .map(({ food }) => food),
  );
  const masses = new Map<string, { mass_g: number; isWhole: boolean }>();
  for (const { food, mass_g, packs, left_g } of proposal.lines) {
    const before = masses.get(food) ?? { mass_g: 0, isWhole: true };
    const isWhole = before.isWhole && packs !== null && left_g < 0.5;
    masses.set(food, { mass_g: before.mass_g + mass_g, isWhole });
  }
  const weighable = [...masses].filter(([, { mass_g }]) => mass_g >= LEAST_LINE_G);
  return weighable.map(([food, { mass_g, isWhole }]) => ({
    food,
    mass_g: isWhole || pinned.has(food) ? Math.round(mass_g) : handy_g(mass_g),
  }));
}

/**
 * The plan with what was pinned and is not counted here: the solver knows nothing of it, but nobody
 * took it out.
 */
export function withUncounted(
  lines: readonly PlanLine[],
  choices: readonly Choice[],
  { food }: Pick<Kitchen, 'food'>,
): PlanLine[] {
  const uncounted = choices.flatMap(({ food: key, least_g = 0 }): PlanLine[] =>
    least_g > 0 && food(key) === null ? [{ food: key, mass_g: least_g }] : [],
  );
  return [...lines, ...uncounted];
}

/** Why nothing can be proposed for these dogs, and what to do; null when it can. */
export function notProposable(
  eaters: readonly Pick<Eater, 'name' | 'energy_kcal_per_day'>[],
): { readonly title: string; readonly next: string } | null {
  if (eaters.length === 0) {
    return {
      title: 'Nothing can be proposed while no dog is chosen.',
      next: 'choose who eats it.',
    };
  }
  const unknown = eaters.filter((eater) => eater.energy_kcal_per_day === null);
  if (unknown.length === 0) return null;
  const who = listed(unknown.map(({ name }) => name));
  return {
    title: `Nothing can be proposed while the need of ${who} is not known.`,
    next: `open ${who} and fill it in, or plan by hand.`,
  };
}

/** How much of a food that stays in store is asked about: a pack, or what may be taken of it. */
export function askedAbout_g({ lots }: Pick<ProposalProblem, 'lots'>, food: string): number {
  const own = lots.filter((lot) => lot.food === food);
  const there_g = sum(own.map(({ mass_g }) => mass_g));
  const pack_g = own.find((lot) => lot.pack_g != null)?.pack_g ?? WITHOUT_PACK_G;
  return Math.min(pack_g, there_g > 0 ? there_g : pack_g);
}

/** The choices with what somebody changed in the lines: pinned to the grams, or left out. */
export function settled(
  choices: readonly Choice[],
  before: readonly PlanLine[],
  after: readonly PlanLine[],
): Choice[] {
  const changed = new Map<string, number>();
  for (const { food, mass_g } of after)
    if (before.find((line) => line.food === food)?.mass_g !== mass_g) changed.set(food, mass_g);
  for (const { food } of before)
    if (!after.some((line) => line.food === food)) changed.set(food, 0);
  return [
    ...choices.filter(({ food }) => !changed.has(food)),
    ...[...changed].map(([food, mass_g]) => ({ food, least_g: mass_g, most_g: mass_g })),
  ];
}
