/** What a batch is to be proposed from. The twin of the server's proposal_problem. */
import { InputError } from './input-error.ts';

export type Amounts = Readonly<Record<string, number>>;

/** A food that may go into the batch, per 100 g. A nutrient without an entry is unknown. */
export interface ProposalFood {
  readonly key: string;
  readonly energy_kcal_per_100g: number;
  /** What is certainly there. */
  readonly least: Amounts;
  /** The most there can be. */
  readonly most: Amounts;
  readonly bone_share?: number;
  readonly is_liver?: boolean;
  /** Liver, kidney, spleen and the like; muscles such as heart are none. */
  readonly is_organ?: boolean;
  /** Part of the last fortnight's energy that came from the same animal, 0 to 1. */
  readonly fed_share?: number;
}

/** What lies in store of a food: grams, in packs of so many grams where it is in packs. */
export interface ProposalLot {
  readonly key: string;
  readonly food: string;
  readonly mass_g: number;
  readonly pack_g?: number | null;
  readonly age_days?: number | null;
  readonly price_per_kg?: number | null;
}

/** What all eaters ask together, per 1000 kcal in the nutrient's unit. */
export interface Wanted {
  readonly nutrient: string;
  readonly minimum?: number | null;
  readonly maximum?: number | null;
  /** What the last fortnight lacked, spread over the energy of this batch. */
  readonly lacked?: number;
}

export interface RatioWanted {
  readonly key: string;
  readonly top: readonly string[];
  readonly bottom: readonly string[];
  readonly minimum?: number | null;
  readonly maximum?: number | null;
}

/** At least and at most so many grams of a food: equal ends pin it, a most of 0 leaves it out. */
export interface Choice {
  readonly food: string;
  readonly least_g?: number;
  readonly most_g?: number | null;
}

export interface ProposalProblem {
  readonly energy_kcal: number;
  readonly ingredients: readonly ProposalFood[];
  readonly lots: readonly ProposalLot[];
  readonly wanted?: readonly Wanted[];
  readonly ratios?: readonly RatioWanted[];
  readonly choices?: readonly Choice[];
  /** Foods that one of the dogs may not have. */
  readonly forbidden?: readonly string[];
  /** Largest shares of the mass that a dog may have, 0 to 1. */
  readonly bone_cap?: number | null;
  readonly liver_cap?: number | null;
  readonly organ_cap?: number | null;
  /** The share of organs that is common, for dogs without a cap. */
  readonly organ_practice?: number | null;
}

const sum = (values: readonly number[]): number => values.reduce((all, each) => all + each, 0);

/** The part of some nutrients that is certain in 100 g. */
export function certain(food: ProposalFood, nutrients: readonly string[]): number {
  return sum(nutrients.map((key) => food.least[key] ?? 0));
}

/** The most there can be of some nutrients; the certain part where nothing bounds it. */
export function atMost(food: ProposalFood, nutrients: readonly string[]): number {
  return sum(nutrients.map((key) => food.most[key] ?? food.least[key] ?? 0));
}

/** The certain part of some nutrients, or the most where no part is certain. */
export function counted(food: ProposalFood, nutrients: readonly string[]): number {
  return sum(nutrients.map((key) => food.least[key] ?? food.most[key] ?? 0));
}

/** Foods by key. Refuses a problem that cannot be meant. */
export function foodsOf(problem: ProposalProblem): ReadonlyMap<string, ProposalFood> {
  const foods = new Map(problem.ingredients.map((food) => [food.key, food]));
  if (!Number.isFinite(problem.energy_kcal) || problem.energy_kcal <= 0) {
    throw new InputError(
      `The batch is to hold ${problem.energy_kcal} kcal; it must be over zero. Choose dogs whose need is known, and at least one day.`,
      ['energy_kcal'],
    );
  }
  for (const lot of problem.lots) {
    const isMeant = Number.isFinite(lot.mass_g) && lot.mass_g >= 0 && (lot.pack_g ?? 1) > 0;
    if (foods.has(lot.food) && isMeant) continue;
    throw new InputError(
      `${lot.food}: ${lot.mass_g} g in packs of ${lot.pack_g ?? 'no'} g was given; the food must be known, the mass zero or more and a pack over zero. Count the lot again.`,
      ['lots'],
    );
  }
  for (const wanted of problem.wanted ?? []) {
    if (wanted.maximum == null || wanted.maximum > 0) continue;
    throw new InputError(
      `${wanted.nutrient}: a maximum of ${wanted.maximum} was given; it must be over zero. To keep a food out altogether, forbid the food.`,
      ['wanted'],
    );
  }
  for (const choice of problem.choices ?? []) {
    const least_g = choice.least_g ?? 0;
    if (foods.has(choice.food) && least_g >= 0 && least_g <= (choice.most_g ?? Infinity)) continue;
    throw new InputError(
      `${choice.food}: from ${least_g} g to ${choice.most_g} g was chosen; the food must be known, and the least not over the most.`,
      ['choices'],
    );
  }
  return foods;
}
