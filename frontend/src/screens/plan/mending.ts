/** Looks for the smallest change that mends what is over or short, and checks that it harms nothing. */
import type { CheckRow } from './checks';
import { whoMayNotHave, type Eater } from './eaters';
import { forbids, hazardsNamed } from './foods';
import type { Kitchen, Portion, Verdict } from './judged';
import { smallestAddition_g, smallestHoldBack_g, weighable_g, type Ingredient } from './mend';

export interface Mend {
  readonly nutrient: string;
  readonly food: string;
  /** Grams to add; negative grams are held back. */
  readonly mass_g: number;
  /** Where it puts the nutrient, per 1000 kcal in the row's unit. */
  readonly value: number;
  readonly word: CheckRow['word'];
}

/** Our choice: no mend adds more than this share of the batch; beyond it, it is another recipe. */
const MOST_SHARE = 0.2;

export interface Mending {
  readonly kitchen: Kitchen;
  readonly portions: readonly Portion[];
  readonly verdict: Verdict;
  readonly judge: (portions: readonly Portion[]) => Verdict;
  /** Grams of each food that may be added. */
  readonly addable_g: ReadonlyMap<string, number>;
  /** Grams of each food that can still be held back. */
  readonly holdable_g: ReadonlyMap<string, number>;
}

/**
 * What may be added at the counter: what lies in store beyond what the plan still takes, and neither
 * harms dogs by its name nor is barred to one that eats of it.
 */
export function addable(
  kitchen: Kitchen,
  eaters: readonly Eater[],
  masses: {
    readonly inStore_g: ReadonlyMap<string, number>;
    readonly toGo_g: ReadonlyMap<string, number>;
  },
): Map<string, number> {
  const hazards = kitchen.tables?.hazards ?? [];
  return new Map(
    [...masses.inStore_g]
      .map(([food, mass_g]) => [food, mass_g - (masses.toGo_g.get(food) ?? 0)] as const)
      .filter(
        ([food, mass_g]) =>
          mass_g > 0 &&
          whoMayNotHave(eaters, food, kitchen).length === 0 &&
          !hazardsNamed(hazards, kitchen.name(food)).some(forbids),
      ),
  );
}

function ingredient(kitchen: Kitchen, key: string, nutrient: string): Ingredient | null {
  const food = kitchen.food(key);
  if (food === null) return null;
  return {
    per_100g: kitchen.known_per_100g(food, nutrient),
    energy_kcal_per_100g: food.energy_kcal_per_100g,
  };
}

/** The portions with some grams of a food added, or held back when negative. */
export function changed(
  portions: readonly Portion[],
  food: string,
  mass_g: number,
): readonly Portion[] {
  const before = portions.find((portion) => portion.food === food)?.mass_g ?? 0;
  const others = portions.filter((portion) => portion.food !== food);
  return [...others, { food, mass_g: Math.max(0, before + mass_g) }];
}

/** What was met stays met and no limit of a dog's own is passed, also where the range would only reach over a limit. */
function newlyOff(before: Verdict, after: Verdict, except: string): boolean {
  const words = new Map(before.rows.map((row) => [row.nutrient, row.word]));
  const limits = new Set(before.passed.map(({ key }) => key));
  if (after.passed.some(({ key }) => !limits.has(key))) return true;
  return after.rows.some(({ nutrient, word }) => {
    const was = words.get(nutrient);
    const isOff = word === 'over' || word === 'short' || was === 'met';
    return nutrient !== except && isOff && was !== word;
  });
}

function tried(
  mending: Mending,
  row: CheckRow,
  change: { readonly food: string; readonly mass_g: number },
): Mend | null {
  const after = mending.judge(changed(mending.portions, change.food, change.mass_g));
  const now = after.rows.find((each) => each.nutrient === row.nutrient);
  if (now === undefined || now.word === 'over' || now.word === 'short') return null;
  if (now.reading.known === null || newlyOff(mending.verdict, after, row.nutrient)) return null;
  return { nutrient: row.nutrient, ...change, value: now.reading.known, word: now.word };
}

/** Wanted amount in the nutrient's own unit: the row may be shown in a larger one. */
function ownUnit(row: CheckRow, value: number): number {
  return value * row.scale;
}

function additions(mending: Mending, row: CheckRow): { food: string; mass_g: number }[] {
  const { kitchen, verdict, addable_g } = mending;
  const minimum = row.reading.minimum;
  if (minimum === null) return [];
  const mixture = {
    // What nothing is known of counts for nothing: the addition alone has to be enough.
    known: (ownUnit(row, row.reading.known ?? 0) * verdict.energy_kcal) / 1000,
    energy_kcal: verdict.energy_kcal,
  };
  const most_g = verdict.mass_g * MOST_SHARE;
  return [...addable_g]
    .flatMap(([food, available_g]) => {
      const found = ingredient(kitchen, food, row.nutrient);
      const exact_g = found && smallestAddition_g(mixture, found, ownUnit(row, minimum));
      if (!exact_g || exact_g > most_g) return [];
      const mass_g = weighable_g(exact_g);
      return mass_g <= available_g ? [{ food, mass_g }] : [];
    })
    .sort((a, b) => a.mass_g - b.mass_g);
}

function holdBacks(mending: Mending, row: CheckRow): { food: string; mass_g: number }[] {
  const { kitchen, verdict, holdable_g } = mending;
  const { known, maximum } = row.reading;
  if (known === null || maximum === null) return [];
  const mixture = {
    known: (ownUnit(row, known) * verdict.energy_kcal) / 1000,
    energy_kcal: verdict.energy_kcal,
  };
  return [...holdable_g]
    .flatMap(([food, available_g]) => {
      const found = ingredient(kitchen, food, row.nutrient);
      const exact_g =
        found &&
        smallestHoldBack_g(mixture, found, { maximum: ownUnit(row, maximum), available_g });
      if (!exact_g) return [];
      const mass_g = weighable_g(exact_g);
      return mass_g <= available_g ? [{ food, mass_g: -mass_g }] : [];
    })
    .sort((a, b) => b.mass_g - a.mass_g);
}

/** So many candidates are tried in earnest per nutrient; the smallest come first. */
const TRIES = 6;

/** The smallest change that mends a row without putting anything else over or short; or null. */
export function mendFor(mending: Mending, row: CheckRow): Mend | null {
  const ways = row.word === 'over' ? holdBacks(mending, row) : additions(mending, row);
  for (const way of ways.slice(0, TRIES)) {
    const mend = tried(mending, row, way);
    if (mend !== null) return mend;
  }
  return null;
}

/** A mend for each row that is over or short and has one. */
export function mendsFor(mending: Mending): Mend[] {
  return mending.verdict.rows
    .filter((row) => row.word === 'over' || row.word === 'short')
    .flatMap((row) => mendFor(mending, row) ?? []);
}
