/** What a batch passes, or may pass, of the limits that its dogs have of their own. */
import { least, most } from '../../domain/composition';
import type { Dog } from '../../domain/kinds';
import { isOrgan } from '../../domain/organs';
import {
  capsMissed,
  nutrientsMissed,
  type Missed,
  type Portions,
} from '../../domain/proposal-missed';
import type { ProposalFood, ProposalProblem } from '../../domain/proposal-problem';
import type { FoodRow, Tables } from '../../domain/tables';
import type { Eater } from './eaters';
import type { Kitchen, Portion } from './judged';

type Caps = NonNullable<Dog['caps']>;
type Shares = Pick<ProposalProblem, 'bone_cap' | 'liver_cap' | 'organ_cap'>;
type Nature = Pick<ProposalFood, 'bone_share' | 'is_liver' | 'is_organ'>;

/** The strictest of several dogs' limits; null where none has one. */
export function capOf(all: readonly (Caps | null | undefined)[], key: keyof Caps): number | null {
  const present = all.flatMap((caps) => caps?.[key] ?? []);
  return present.length === 0 ? null : Math.min(...present);
}

/** The largest shares of the mass that the dogs together may have, 0 to 1. */
export function shareCapsOf(all: readonly (Caps | null | undefined)[]): Shares {
  const share = (pct: number | null): number | null => (pct === null ? null : pct / 100);
  return {
    bone_cap: share(capOf(all, 'bone_pct')),
    liver_cap: share(capOf(all, 'liver_pct')),
    organ_cap: share(capOf(all, 'organ_pct')),
  };
}

/** What part of a food counts as bone, liver and organs; `kind` is what a copy was made of. */
export function natureOf(tables: Tables, food: FoodRow, kind: FoodRow): Required<Nature> {
  return {
    bone_share: food.bone_share ?? 0,
    is_liver: kind.group === 'liver',
    is_organ: isOrgan(kind, tables.origins),
  };
}

/** Whole prey, and raw food of which a label alone tells: nobody knows how much bone is in it. */
function isUnparted(food: FoodRow): boolean {
  const isOwn = food.group === 'own' && food.style === 'raw';
  return food.bone_share === null && (food.group === 'whole_prey' || isOwn);
}

export interface Passed {
  readonly key: 'bone' | 'liver' | 'organ' | 'fat';
  /** A share of the mass, or grams of fat per 1000 kcal; null when nobody knows it. */
  readonly amount: number | null;
  readonly limit: number;
  /** False: it may pass it, by what is not known. */
  readonly isSure: boolean;
  /** The foods of which it is not known. */
  readonly unknown: readonly string[];
}

/** Our choice, of a limit: weighing at a counter comes no nearer. */
const WEIGHING_SHARE = 0.01;

export function isPassed({ amount, limit }: Pick<Missed, 'amount' | 'limit'>): boolean {
  return amount !== null && amount > limit * (1 + WEIGHING_SHARE);
}

/** What these portions pass of the dogs' own limits; what is not known is never taken for nothing. */
export function passedBy(
  kitchen: Kitchen,
  portions: readonly Portion[],
  eaters: readonly Pick<Eater, 'caps'>[],
): Passed[] {
  const { tables } = kitchen;
  const caps = eaters.flatMap((eater) => eater.caps ?? []);
  if (tables === null || caps.length === 0) return [];
  const there = portions.filter(({ mass_g }) => mass_g > 0);
  const shares = sharesPassed(kitchen, tables, there, shareCapsOf(caps));
  const fat = capOf(caps, 'fat_g_per_1000_kcal');
  return fat === null ? shares : [...shares, ...fatPassed(kitchen, tables, there, fat)];
}

const NOTHING = { energy_kcal_per_100g: 0, least: {}, most: {} };
const ALL: Nature = { bone_share: 1, is_liver: true, is_organ: true };

function sharesPassed(
  kitchen: Kitchen,
  tables: Tables,
  there: readonly Portion[],
  caps: Shares,
): Passed[] {
  const unknown: string[] = [];
  const low: [ProposalFood, number][] = [];
  const high: [ProposalFood, number][] = [];
  for (const { food: key, mass_g } of there) {
    const food = kitchen.food(key);
    const nature = food === null ? {} : natureOf(tables, food, kitchen.kind(key) ?? food);
    const isUnknown = food === null || isUnparted(food);
    if (isUnknown) unknown.push(key);
    low.push([{ key, ...NOTHING, ...nature }, mass_g]);
    high.push([{ key, ...NOTHING, ...(isUnknown ? ALL : nature) }, mass_g]);
  }
  if (low.length === 0) return [];
  const sure = capsMissed(caps, low).filter(isPassed);
  const perhaps = capsMissed(caps, high).filter(isPassed);
  return perhaps.map(({ key, limit }): Passed => {
    const found = sure.find((each) => each.key === key);
    const isSure = found !== undefined;
    return {
      key: key as Passed['key'],
      amount: found?.amount ?? null,
      limit,
      isSure,
      unknown: isSure ? [] : unknown,
    };
  });
}

function fatPassed(
  kitchen: Kitchen,
  tables: Tables,
  there: readonly Portion[],
  limit: number,
): Passed[] {
  const portionsOf = (amount: (food: FoodRow) => number | null): Portions =>
    there.flatMap(({ food: key, mass_g }) => {
      const food = kitchen.food(key);
      if (food === null) return [];
      const { energy_kcal_per_100g } = food;
      const fat = amount(food) ?? 0;
      return [[{ key, energy_kcal_per_100g, least: {}, most: { fat } }, mass_g]];
    });
  const over = (portions: Portions): Missed | undefined =>
    nutrientsMissed({ wanted: [{ nutrient: 'fat', maximum: limit }] }, portions).find(isPassed);
  const unknown = there
    .map(({ food }) => food)
    .filter((key) => {
      const food = kitchen.food(key);
      return food === null || most(tables, food, 'fat') === null;
    });
  // Of a food that is not counted nobody knows the energy either: it may thin out what is there.
  const isWhole = there.every(({ food }) => kitchen.food(food) !== null);
  const sure = over(portionsOf((food) => least(food, 'fat')));
  if (sure && isWhole)
    return [{ key: 'fat', amount: sure.amount, limit, isSure: true, unknown: [] }];
  if (unknown.length > 0) return [{ key: 'fat', amount: null, limit, isSure: false, unknown }];
  const perhaps = over(portionsOf((food) => most(tables, food, 'fat')));
  return perhaps ? [{ key: 'fat', amount: perhaps.amount, limit, isSure: false, unknown }] : [];
}
