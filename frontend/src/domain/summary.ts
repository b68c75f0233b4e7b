/**
 * The weekly summary of one dog: the shape of the `body` of a `summary` record.
 *
 * The server writes it once a week; a phone that has none yet computes what it can from its own
 * records in the same shape. Unknown is null, never zero. Masses in grams, energy in kcal of
 * metabolisable energy, shares between 0 and 1.
 */

export type AppetiteWord = 'keen' | 'slow' | 'picked' | 'left_it';

export type StoolWord =
  'dry_pellets' | 'firm' | 'shaped_moist' | 'soft_shaped' | 'soft_heap' | 'liquid';

export type AdequacyWord = 'met' | 'short' | 'over' | 'unknown';

export interface SummaryWeight {
  readonly latest_g: number | null;
  readonly latest_at: string | null;
  /** Against the last weighing before this week. */
  readonly change_g: number | null;
  readonly slope_pct_per_week: number | null;
  /** Ends of the interval of the slope [% per week]. */
  readonly low: number | null;
  readonly high: number | null;
  /** [day, mass in grams], oldest first. */
  readonly points: readonly (readonly [string, number])[];
  readonly sentence: string;
}

export interface SummaryEnergy {
  readonly eaten_kcal_per_day: number | null;
  readonly required_kcal_per_day: number | null;
  /** Eaten over required [-]. */
  readonly share: number | null;
  /** Share of the offered mass for which nobody noted what was left. */
  readonly assumed_share: number;
  /** Share of the offered mass whose energy is unknown. */
  readonly unknown_share: number;
  readonly offered_g: number;
  readonly eaten_g: number;
  readonly sentence: string;
}

export interface SummaryMeal {
  readonly day: string;
  readonly time: string;
  readonly word: AppetiteWord | null;
}

export interface SummaryAppetite {
  readonly counts: Readonly<Record<AppetiteWord | 'not_said', number>>;
  readonly meals: readonly SummaryMeal[];
  readonly sentence: string;
}

export interface SummaryStool {
  readonly counts: Readonly<Partial<Record<StoolWord, number>>>;
  readonly flags: Readonly<Record<string, number>>;
  readonly sentence: string;
}

export interface SummaryNutrient {
  readonly nutrient: string;
  readonly word: Exclude<AdequacyWord, 'met'>;
  /** Per 1000 kcal eaten, in the nutrient's own unit; null where no food has a figure. */
  readonly known: number | null;
  readonly best: number | null;
  readonly minimum: number | null;
  readonly maximum: number | null;
  readonly unit: string;
}

export interface SummaryAdequacy {
  readonly days: number;
  readonly edition: string;
  readonly stage: string;
  readonly counts: Readonly<Record<AdequacyWord, number>>;
  readonly not_met: readonly SummaryNutrient[];
  readonly calcium_to_phosphorus: number | null;
  readonly sentence: string;
}

export interface SummaryBatch {
  readonly rid: string;
  readonly number: number | null;
  readonly method: string;
  readonly mass_g: number | null;
  readonly made_at: string | null;
}

export interface SummaryAlert {
  readonly key: string;
  readonly title: string;
  readonly since: string | null;
  /** How sure, in words. */
  readonly certainty: string;
  readonly text: string;
  /** What to do, and by when; the words after "Next:". */
  readonly next: string;
  readonly source: string;
}

export interface SummaryBody {
  /** ISO week, "2026-W47". */
  readonly week: string;
  readonly from: string;
  readonly to: string;
  readonly dog: string;
  readonly generated_at: string;
  readonly weight: SummaryWeight;
  readonly energy: SummaryEnergy;
  readonly appetite: SummaryAppetite;
  readonly stool: SummaryStool;
  readonly adequacy: SummaryAdequacy;
  readonly batches: readonly SummaryBatch[];
  readonly alerts: readonly SummaryAlert[];
}
