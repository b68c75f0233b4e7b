/**
 * A batch to be proposed, as rows and columns. The twin of the server's proposal_matrices, which
 * says what each row means and how what is unknown enters; only the order of columns differs:
 * what concerns whole packs comes last, since the first aims do not look at it.
 */
import {
  atMost,
  certain,
  counted,
  foodsOf,
  type ProposalFood,
  type ProposalLot,
  type ProposalProblem,
  type Wanted,
} from './proposal-problem.ts';
import type { Matrix } from './proposal-simplex.ts';

export const UNIT_G = 100;
// Choices of this project; what each is for stands beside its Python twin.
export const MARGIN = 0.02;
export const OLDEST_SLACK_DAYS = 3;
export const FREE_LEFT_G = 100;
export const VARIETY_SLACK = 0.01;
const MOST_MADE_UP = 1;
/** From memory; it only scales rows about mass. */
const TYPICAL_KCAL_PER_100G = 150;
/** Shares stand in the rows in thousandths. */
export const PER = 1000;
export const SHARE_SLACK = 1e-2;
/** An aim is held up to this much at the least, as rounding is no giving way. */
export const HELD = 1e-6;

export const AIMS = [
  'over',
  'energy',
  'practice',
  'short',
  'lacked',
  'oldest',
  'left',
  'variety',
  'cost',
] as const;
export type Aim = (typeof AIMS)[number];

/** How far each aim may slip for the sake of the later ones. */
export const SLACK: Readonly<Record<Aim, number>> = {
  over: SHARE_SLACK,
  energy: SHARE_SLACK,
  practice: SHARE_SLACK,
  short: SHARE_SLACK,
  lacked: SHARE_SLACK,
  oldest: OLDEST_SLACK_DAYS,
  left: HELD,
  variety: VARIETY_SLACK,
  cost: HELD,
};

export interface Pack {
  /** Index of the lot, which is its column too. */
  readonly lot: number;
  readonly column: number;
  /** Mass of one pack in units of 100 g, and how many there are. */
  readonly size: number;
  readonly most: number;
}

export interface ProposalModel {
  /** Rows and columns without whole packs, and with them. */
  readonly plain: Matrix;
  readonly packed: Matrix;
  readonly aims: Readonly<Record<Aim, number>>;
  readonly lots: readonly ProposalLot[];
  readonly packs: readonly Pack[];
  /** What is left over beyond what does not matter, in units of 100 g. */
  readonly left_column: number;
  /** The energy that is missing, in thousandths. */
  readonly energy_short_column: number;
}

type Entries = [number, number][];

class Rows {
  readonly rows: Entries[] = [];
  readonly rows_low: number[] = [];
  readonly rows_high: number[] = [];
  readonly low: number[] = [];
  readonly high: number[] = [];

  column(most = Infinity): number {
    this.low.push(0);
    return this.high.push(most) - 1;
  }

  row(entries: Entries, low: number, high: number): number {
    this.rows_low.push(low);
    this.rows_high.push(high);
    return this.rows.push(entries) - 1;
  }

  snapshot(): Matrix {
    return {
      rows: [...this.rows],
      rows_low: [...this.rows_low],
      rows_high: [...this.rows_high],
      low: [...this.low],
      high: [...this.high],
    };
  }
}

/** The lots with what is over whole packs as a lot of its own: an opened pack. */
export function packedLots(lots: readonly ProposalLot[]): ProposalLot[] {
  return lots.flatMap((lot) => {
    const pack_g = lot.pack_g ?? null;
    if (pack_g === null || lot.mass_g <= 0) return [lot];
    const full_g = Math.trunc(lot.mass_g / pack_g + 1e-9) * pack_g;
    const rest_g = lot.mass_g - full_g;
    return [
      ...(full_g > 0 ? [{ ...lot, mass_g: full_g }] : []),
      ...(rest_g > 1e-6 ? [{ ...lot, mass_g: rest_g, pack_g: rest_g }] : []),
    ];
  });
}

/** The lots as packed, and what has to be bought for choices that stock cannot meet. */
function withBought(problem: ProposalProblem): ProposalLot[] {
  const lots = packedLots(problem.lots);
  for (const choice of problem.choices ?? []) {
    if (problem.forbidden?.includes(choice.food)) continue;
    const stored_g = lots
      .filter((lot) => lot.food === choice.food)
      .reduce((all, lot) => all + lot.mass_g, 0);
    const missing_g = (choice.least_g ?? 0) - stored_g;
    if (missing_g > 0) lots.push({ key: '', food: choice.food, mass_g: missing_g });
  }
  return lots;
}

/** A minimum with its margin, which never passes the maximum. */
function lowest(wanted: Wanted, minimum: number): number {
  return Math.min(minimum * (1 + MARGIN), wanted.maximum ?? Infinity);
}

/** The maximum with its margin, or whole where the minimum comes that close to it. */
function highest(wanted: Wanted, maximum: number): number {
  const target = maximum * (1 - MARGIN);
  return target < lowest(wanted, wanted.minimum ?? 0) ? maximum : target;
}

/** The rows of a problem, as they are asked for. */
export class Builder {
  readonly rows = new Rows();
  readonly lots: readonly ProposalLot[];
  readonly foods: readonly ProposalFood[];
  readonly shares: readonly number[];
  readonly misses: Record<'over' | 'practice' | 'short' | 'lacked', number[]> = {
    over: [],
    practice: [],
    short: [],
    lacked: [],
  };

  constructor(readonly problem: ProposalProblem) {
    const known = foodsOf(problem);
    this.lots = withBought(problem);
    this.foods = this.lots.flatMap((lot) => known.get(lot.food) ?? []);
    for (const lot of this.lots) {
      this.rows.column(problem.forbidden?.includes(lot.food) ? 0 : lot.mass_g / UNIT_G);
    }
    this.shares = this.foods.map((food) => food.energy_kcal_per_100g / problem.energy_kcal);
  }

  private perLot(amount: (food: ProposalFood, index: number) => number, scale = PER): Entries {
    return this.foods.flatMap((food, index) => {
      const found = amount(food, index) * scale;
      return found === 0 ? [] : [[index, found] as [number, number]];
    });
  }

  maxima(): void {
    const { energy_kcal, bone_cap, liver_cap, organ_cap } = this.problem;
    for (const wanted of this.problem.wanted ?? []) {
      if (wanted.maximum == null) continue;
      const scale = (highest(wanted, wanted.maximum) * energy_kcal) / 1000;
      this.atMost(
        (food, index) => atMost(food, [wanted.nutrient]) / scale - (this.shares[index] ?? 0),
        this.misses.over,
      );
    }
    this.share((food) => food.bone_share ?? 0, bone_cap, this.misses.over);
    this.share((food) => (food.is_liver ? 1 : 0), liver_cap, this.misses.over);
    this.share((food) => (food.is_organ ? 1 : 0), organ_cap, this.misses.over);
  }

  practice(): void {
    const cap = this.problem.organ_practice;
    this.share((food) => (food.is_organ ? 1 : 0), cap, this.misses.practice);
  }

  private share(
    part: (food: ProposalFood) => number,
    cap: number | null | undefined,
    missed: number[],
  ): void {
    const mass = this.problem.energy_kcal / TYPICAL_KCAL_PER_100G;
    if (cap != null) this.atMost((food) => (part(food) - cap) / mass, missed);
  }

  private atMost(amount: (food: ProposalFood, index: number) => number, missed: number[]): void {
    const miss = this.rows.column();
    missed.push(miss);
    this.rows.row([...this.perLot(amount), [miss, -1]], -Infinity, 0);
  }

  private atLeast(amount: (food: ProposalFood, index: number) => number, missed: number[]): void {
    const miss = this.rows.column();
    missed.push(miss);
    this.rows.row([...this.perLot(amount), [miss, 1]], 0, Infinity);
  }

  energy(): readonly [number, number] {
    const [short, over] = [this.rows.column(), this.rows.column()];
    const entries = this.perLot((_, index) => this.shares[index] ?? 0);
    this.rows.row([...entries, [short, 1], [over, -1]], PER, PER);
    return [short, over];
  }

  private reach(nutrient: string, target: number, missed: number[]): void {
    const scale = (target * this.problem.energy_kcal) / 1000;
    this.atLeast(
      (food, index) => (food.least[nutrient] ?? 0) / scale - (this.shares[index] ?? 0),
      missed,
    );
  }

  minima(): void {
    for (const wanted of this.problem.wanted ?? []) {
      if (!wanted.minimum || wanted.minimum <= 0) continue;
      this.reach(wanted.nutrient, lowest(wanted, wanted.minimum), this.misses.short);
    }
  }

  madeUp(): void {
    for (const wanted of this.problem.wanted ?? []) {
      const { minimum, lacked = 0 } = wanted;
      if (!minimum || minimum <= 0 || lacked <= 0) continue;
      const target = minimum + Math.min(lacked, minimum * MOST_MADE_UP);
      this.reach(wanted.nutrient, lowest(wanted, target), this.misses.lacked);
    }
  }

  ratios(): void {
    const { wanted = [], ratios = [], energy_kcal } = this.problem;
    const minima = new Map(wanted.map((each) => [each.nutrient, each.minimum ?? 0]));
    for (const { top, bottom, minimum, maximum } of ratios) {
      const needs = bottom.reduce((all, key) => all + (minima.get(key) ?? 0), 0);
      const scale = (needs * energy_kcal) / 1000 || 1;
      if (minimum != null) {
        const amount = (food: ProposalFood) =>
          (certain(food, top) - minimum * counted(food, bottom)) / scale;
        this.atLeast(amount, this.misses.short);
      }
      if (maximum != null) {
        const amount = (food: ProposalFood) =>
          (atMost(food, top) - maximum * certain(food, bottom)) / scale;
        this.atMost(amount, this.misses.short);
      }
    }
  }

  choices(): void {
    for (const choice of this.problem.choices ?? []) {
      if (this.problem.forbidden?.includes(choice.food)) continue;
      const entries = this.perLot((food) => (food.key === choice.food ? 1 : 0), 1);
      if (entries.length === 0) continue;
      const most = choice.most_g == null ? Infinity : choice.most_g / UNIT_G;
      this.rows.row(entries, (choice.least_g ?? 0) / UNIT_G, most);
    }
  }

  /** How much newer each lot is than the oldest; an undated one is as new as the newest. */
  private ages(): number[] {
    const known = this.lots.flatMap((lot) => lot.age_days ?? []);
    if (known.length === 0) return this.lots.map(() => 0);
    const [oldest, newest] = [Math.max(...known), Math.min(...known)];
    return this.lots.map((lot) => oldest - (lot.age_days ?? newest));
  }

  /** Price of 100 g of each lot; an unknown one counts as the dearest known. */
  private prices(): number[] {
    const dearest = Math.max(0, ...this.lots.flatMap((lot) => lot.price_per_kg ?? []));
    return this.lots.map((lot) => ((lot.price_per_kg ?? dearest) * UNIT_G) / 1000);
  }

  aims(energy: readonly number[]): Record<Exclude<Aim, 'left'>, number> {
    const measure = (entries: Entries) => this.rows.row(entries, -Infinity, Infinity);
    const all = (columns: readonly number[]) =>
      measure(columns.map((column) => [column, 1] as [number, number]));
    const [ages, prices] = [this.ages(), this.prices()];
    const share = (index: number): number => this.shares[index] ?? 0;
    return {
      over: all(this.misses.over),
      energy: all(energy),
      practice: all(this.misses.practice),
      short: all(this.misses.short),
      lacked: all(this.misses.lacked),
      oldest: measure(this.perLot((_, index) => share(index) * (ages[index] ?? 0), 1)),
      variety: measure(this.perLot((food, index) => share(index) * (food.fed_share ?? 0), 1)),
      cost: measure(this.perLot((_, index) => prices[index] ?? 0, 1)),
    };
  }

  packs(): { packs: Pack[]; left: number; miss: number } {
    const packs = this.lots.flatMap((lot, index): Pack[] => {
      if (lot.pack_g == null) return [];
      const most = Math.round(lot.mass_g / lot.pack_g);
      return [{ lot: index, column: this.rows.column(most), size: lot.pack_g / UNIT_G, most }];
    });
    const miss = this.rows.column();
    const together: Entries = [[miss, -1]];
    for (const { lot, column, size } of packs) {
      this.rows.row([[lot, 1], [column, -size]], -Infinity, 0); // prettier-ignore
      together.push([lot, -1], [column, size]);
    }
    this.rows.row(together, -Infinity, FREE_LEFT_G / UNIT_G);
    return { packs, left: this.rows.row([[miss, 1]], -Infinity, Infinity), miss };
  }
}

/** The rows and columns of a problem. */
export function buildModel(problem: ProposalProblem): ProposalModel {
  const builder = new Builder(problem);
  builder.maxima();
  builder.practice();
  const energy = builder.energy();
  builder.minima();
  builder.ratios();
  builder.madeUp();
  builder.choices();
  const aims = builder.aims(energy);
  const plain = builder.rows.snapshot();
  const { packs, left, miss } = builder.packs();
  return {
    plain,
    packed: builder.rows.snapshot(),
    aims: { ...aims, left },
    lots: builder.lots,
    packs,
    left_column: miss,
    energy_short_column: energy[0],
  };
}
