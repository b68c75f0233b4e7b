/** The limits that a batch does not keep. */
import {
  atMost,
  certain,
  counted,
  type ProposalFood,
  type ProposalProblem,
} from './proposal-problem.ts';

/** Of what is wanted: less than the margin by far. */
const NOTHING_SHARE = 1e-4;

/** A limit that the proposal cannot keep, per 1000 kcal; the amount is null when nothing is known. */
export interface Missed {
  readonly key: string;
  readonly word: 'short' | 'over';
  readonly amount: number | null;
  readonly limit: number;
}

export type Portions = readonly (readonly [food: ProposalFood, mass_g: number])[];

function total(portions: Portions, amount: (food: ProposalFood) => number): number {
  return portions.reduce((all, [food, mass_g]) => all + (amount(food) * mass_g) / 100, 0);
}

export function energyOf(portions: Portions): number {
  return total(portions, (food) => food.energy_kcal_per_100g);
}

/** The limits that these portions do not keep. */
export function missedBy(problem: ProposalProblem, portions: Portions): Missed[] {
  const energy_kcal = energyOf(portions);
  const limit = problem.energy_kcal;
  const missed: Missed[] = [];
  if (energy_kcal < limit * (1 - NOTHING_SHARE))
    missed.push({ key: 'energy', word: 'short', amount: energy_kcal, limit });
  if (energy_kcal > limit * (1 + NOTHING_SHARE))
    missed.push({ key: 'energy', word: 'over', amount: energy_kcal, limit });
  if (energy_kcal <= 0) return missed;
  return [
    ...missed,
    ...nutrientsMissed(problem, portions),
    ...capsMissed(problem, portions),
    ...ratiosMissed(problem, portions),
  ];
}

/** The nutrients whose limits are not kept; none while there is no energy to divide by. */
export function nutrientsMissed(
  { wanted = [] }: Pick<ProposalProblem, 'wanted'>,
  portions: Portions,
): Missed[] {
  const energy_kcal = energyOf(portions);
  if (energy_kcal <= 0) return [];
  return wanted.flatMap(({ nutrient: key, minimum, maximum }): Missed[] => {
    const isKnown = portions.some(([food]) => key in food.least);
    const per1000 = (amount: (food: ProposalFood) => number): number =>
      (total(portions, amount) * 1000) / energy_kcal;
    const least = isKnown ? per1000((food) => certain(food, [key])) : null;
    const most = per1000((food) => atMost(food, [key]));
    return [
      ...(minimum != null && (least ?? 0) < minimum * (1 - NOTHING_SHARE)
        ? [{ key, word: 'short' as const, amount: least, limit: minimum }]
        : []),
      ...(maximum != null && most > maximum * (1 + NOTHING_SHARE)
        ? [{ key, word: 'over' as const, amount: most, limit: maximum }]
        : []),
    ];
  });
}

/** The shares of the mass that pass their limit. */
export function capsMissed(
  caps: Pick<ProposalProblem, 'bone_cap' | 'liver_cap' | 'organ_cap' | 'organ_practice'>,
  portions: Portions,
): Missed[] {
  const mass = total(portions, () => 1);
  const organs = total(portions, (food) => (food.is_organ ? 1 : 0)) / mass;
  const shares = [
    ['bone', total(portions, (food) => food.bone_share ?? 0) / mass, caps.bone_cap],
    ['liver', total(portions, (food) => (food.is_liver ? 1 : 0)) / mass, caps.liver_cap],
    ['organ', organs, caps.organ_cap],
    ['organ_practice', organs, caps.organ_practice],
  ] as const;
  return shares.flatMap(([key, amount, limit]): Missed[] =>
    limit != null && amount > limit + NOTHING_SHARE ? [{ key, word: 'over', amount, limit }] : [],
  );
}

function ratiosMissed(problem: ProposalProblem, portions: Portions): Missed[] {
  return (problem.ratios ?? []).flatMap(({ key, top, bottom, minimum, maximum }): Missed[] => {
    const lowTop = total(portions, (food) => certain(food, top));
    const highBottom = total(portions, (food) => counted(food, bottom));
    if (minimum != null && lowTop < minimum * highBottom * (1 - NOTHING_SHARE))
      return [{ key, word: 'short', amount: lowTop / highBottom, limit: minimum }];
    const highTop = total(portions, (food) => atMost(food, top));
    const lowBottom = total(portions, (food) => certain(food, bottom));
    if (maximum != null && highTop > maximum * lowBottom * (1 + NOTHING_SHARE)) {
      const amount = lowBottom > 0 ? highTop / lowBottom : null;
      return [{ key, word: 'over', amount, limit: maximum }];
    }
    return [];
  });
}
