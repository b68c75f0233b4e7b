/** Is it enough: each nutrient met, short, over, or unknown. The twin of the server's adequacy. */

import { combined, per1000Kcal, type CompositionTables, type Totals } from './composition.ts';
import { InputError } from './input-error.ts';
import type {
  NutrientForm,
  RatioLimits,
  Stage,
  StandardEdition,
  StandardValue,
  StandardVariant,
  Tables,
} from './tables.ts';

export type Word = 'met' | 'short' | 'over' | 'unknown';

/** One nutrient against one standard, in the nutrient's unit on the basis named. */
export interface Judgement {
  readonly nutrient: string;
  readonly known: number | null;
  readonly best: number | null;
  /** The recommended amount, or the minimal requirement where none is recommended. */
  readonly minimum: number | null;
  readonly maximum: number | null;
  readonly word: Word;
  /** Where the word is unknown: the limits that the range from known to best is not clear of. */
  readonly may_fall_short: boolean;
  readonly may_exceed: boolean;
  readonly unknown_energy_share: number;
  readonly basis: 'per 1000 kcal' | 'per kg^0.75 and day';
}

/** A nutrient the edition states in another chemical form than the food tables give. */
export interface NotCompared {
  readonly nutrient: string;
  readonly known: number | null;
  readonly best: number | null;
  readonly form: NutrientForm;
}

/** Whether the limits are the table's own, or one dog's, and why they differ. */
export type Correction = 'none' | 'denser' | 'eats enough' | 'not published';

/** The limits a diet is compared with, by nutrient, and the calcium to phosphorus ratio. */
export interface Targets {
  readonly edition: string;
  readonly name: string;
  readonly stage: Stage;
  readonly limits: Readonly<Record<string, StandardValue>>;
  readonly ratio: RatioLimits;
  /** What the table's amounts were multiplied by for one dog; 1 for the table's own. */
  readonly factor: number;
  readonly correction: Correction;
  readonly assumed_kcal_per_kg075: number | null;
  readonly own_kcal_per_kg075: number | null;
  /** The column chosen for this dog; empty for the stage's ordinary one. */
  readonly variant: string;
}

/** What chooses between columns of an edition; without it a puppy gets the stricter one. */
export interface DogSize {
  readonly adult_mass_kg?: number | null;
  readonly age_days?: number | null;
  /** A column by its key instead. */
  readonly variant?: string;
}

/** The limits of one edition for one stage. */
export function targets(
  tables: Pick<Tables, 'standards' | 'ratios'>,
  edition: string,
  stage: Stage,
  dog: DogSize = {},
): Targets {
  const found = tables.standards.find((each) => each.key === edition);
  const limits = found?.stages[stage];
  if (!found || !limits) {
    const known = tables.standards.map((each) => each.key).join(', ');
    throw new InputError(
      `There is no edition called “${edition}” for stage “${stage}”. Use one of: ${known}.`,
      ['edition', 'stage'],
    );
  }
  const variant = variantOf(found, stage, dog);
  const ordinary = found.ratios?.[stage] ?? tables.ratios.calcium_to_phosphorus.stages[stage];
  return {
    edition,
    name: found.name,
    stage,
    limits: variant === null ? limits : { ...limits, ...variant.limits },
    ratio: variant?.ratio ?? ordinary,
    factor: 1,
    correction: 'none',
    assumed_kcal_per_kg075: null,
    own_kcal_per_kg075: null,
    variant: variant?.key ?? '',
  };
}

const DAYS_PER_MONTH = 365.25 / 12;

function variantOf(
  edition: StandardEdition,
  stage: Stage,
  { adult_mass_kg, age_days, variant }: DogSize,
): StandardVariant | null {
  const here = (edition.variants ?? []).filter((each) => each.stage === stage);
  if (variant === '') return null;
  if (variant !== undefined) {
    const found = here.find((each) => each.key === variant);
    if (found) return found;
    const known = here.map((each) => each.key).join(', ');
    throw new InputError(`There is no variant called “${variant}”. Use one of: ${known}.`, [
      'variant',
    ]);
  }
  const bySize = (most: number | null) =>
    most !== null && typeof adult_mass_kg === 'number' && adult_mass_kg <= most;
  const byAge = (months: number | null) =>
    months !== null && typeof age_days === 'number' && age_days >= months * DAYS_PER_MONTH;
  return here.find((each) => bySize(each.adult_mass_kg_to) || byAge(each.age_months_from)) ?? null;
}

interface Limits {
  readonly minimum: number | null;
  readonly maximum: number | null;
}

const reaches = (known: number | null, minimum: number | null) =>
  minimum === null || (known !== null && known >= minimum);

const stays = (best: number | null, maximum: number | null) =>
  maximum === null || (best !== null && best <= maximum);

/** Over and short only when the whole range is; met when all of it lies within; else unknown. */
export function wordFor(known: number | null, best: number | null, limits: Limits): Word {
  const { minimum, maximum } = limits;
  if (maximum !== null && known !== null && known > maximum) return 'over';
  if (minimum !== null && best !== null && best < minimum) return 'short';
  return reaches(known, minimum) && stays(best, maximum) ? 'met' : 'unknown';
}

/** A judgement per nutrient of a batch, per 1000 kcal of its energy. */
export function judge(total: Totals, against: Targets): Judgement[] {
  return limited(total, against).flatMap(([nutrient, row]) => {
    const limits = { minimum: row.recommended ?? row.minimum, maximum: row.maximum };
    const known = per1000Kcal(total.known[nutrient] ?? null, total.energy_kcal);
    const best = per1000Kcal(total.best[nutrient] ?? null, total.energy_kcal);
    return judgement(total, nutrient, known, best, limits, 'per 1000 kcal');
  });
}

/** The same over all the intakes of a window: that meals make up for one another is assumed. */
export function judgeWindow(
  tables: CompositionTables,
  intakes: readonly Totals[],
  against: Targets,
): Judgement[] {
  return judge(combined(tables, intakes), against);
}

/** A judgement per nutrient against the dog's own size, for dogs that eat little. */
export function judgePerKg075(
  total: Totals,
  against: Targets,
  dog: { readonly metabolic_mass_kg075: number; readonly days: number },
): Judgement[] {
  if (!(dog.metabolic_mass_kg075 > 0) || !(dog.days > 0)) {
    throw new InputError(
      `Size ${dog.metabolic_mass_kg075} kg^0.75 and ${dog.days} days were given; both must be ` +
        'over zero.',
      ['metabolic_mass_kg075', 'days'],
    );
  }
  const share = dog.metabolic_mass_kg075 * dog.days;
  const part = (amount: number | null | undefined) =>
    amount === null || amount === undefined ? null : amount / share;
  return limited(total, against).flatMap(([nutrient, row]) => {
    const limits = {
      minimum: row.recommended_per_kg075 ?? row.minimum_per_kg075 ?? null,
      maximum: row.maximum_per_kg075 ?? null,
    };
    const [known, best] = [part(total.known[nutrient]), part(total.best[nutrient])];
    return judgement(total, nutrient, known, best, limits, 'per kg^0.75 and day');
  });
}

/** The nutrients that are left out of the judgement, per 1000 kcal, and why. */
export function notCompared(total: Totals, against: Targets): NotCompared[] {
  return Object.keys(total.known).flatMap((nutrient) => {
    const form = against.limits[nutrient]?.form;
    if (!form || form.is_compared) return [];
    const part = (amount: number | null | undefined) =>
      per1000Kcal(amount ?? null, total.energy_kcal);
    return [
      { nutrient, known: part(total.known[nutrient]), best: part(total.best[nutrient]), form },
    ];
  });
}

/**
 * Below this share of a mass with a known composition nothing is called met. A choice of this
 * project: more than a tenth unknown can thin out any nutrient.
 */
const FEWEST_KNOWN_SHARE = 0.9;

/** Whether what is said of the known part of a mass holds for all of it. */
export function stands(word: Word, known_share: number): boolean {
  if (known_share >= 1 || word === 'over') return true;
  return word === 'met' && known_share >= FEWEST_KNOWN_SHARE;
}

/** The judgement of a mass of which a part has no composition at all. */
export function withDoubt(judged: Judgement, known_share: number): Judgement {
  if (known_share >= 1) return judged;
  const isKept = stands(judged.word, known_share);
  return {
    ...judged,
    best: null,
    word: isKept ? judged.word : 'unknown',
    may_fall_short: !isKept && judged.minimum !== null,
    may_exceed: !isKept && judged.maximum !== null,
  };
}

/** The nutrients that are compared, in the order of the nutrient table. */
function limited(total: Totals, against: Targets): [string, StandardValue][] {
  return Object.keys(total.known).flatMap((nutrient) => {
    const row = against.limits[nutrient];
    if (!row || row.form?.is_compared === false) return [];
    return [[nutrient, row] satisfies [string, StandardValue]];
  });
}

function judgement(
  total: Totals,
  nutrient: string,
  known: number | null,
  best: number | null,
  limits: Limits,
  basis: Judgement['basis'],
): Judgement[] {
  const { minimum, maximum } = limits;
  if (minimum === null && maximum === null) return [];
  const word = wordFor(known, best, limits);
  const isOpen = word === 'unknown';
  return [
    {
      nutrient,
      known,
      best,
      minimum,
      maximum,
      word,
      may_fall_short: isOpen && !reaches(known, minimum),
      may_exceed: isOpen && !stays(best, maximum),
      unknown_energy_share: total.unknown_energy_share[nutrient] ?? 1,
      basis,
    },
  ];
}
