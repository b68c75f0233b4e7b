/**
 * The nutrition tables as the server sends them and the phone keeps them.
 *
 * Food values are per 100 g, standards per 1000 kcal of metabolisable energy, both in the unit the
 * nutrient itself names. A value that is absent is unknown, never zero.
 */

import type { ThawTables } from './thermal.ts';

export type NutrientUnit = 'g' | 'mg' | 'µg';

export interface NutrientRow {
  readonly key: string;
  readonly name: string;
  readonly unit: NutrientUnit;
  readonly decimals: number;
  readonly group: string;
}

export interface SourceRow {
  readonly title: string;
  readonly publisher: string;
  /** Null where the page has no date. */
  readonly year: number | null;
  readonly url: string | null;
  readonly licence: string;
  readonly note: string;
}

export type Verified = 'read' | 'memory' | 'computed';

/** Key of `sources`, place in it, and how the figure was come by. */
export type Provenance = readonly [source: string, locator: string, verified: Verified];

export interface FoodRow {
  readonly key: string;
  readonly name: string;
  readonly group: string;
  readonly style: 'raw' | 'cooked' | 'dry';
  /** Share of the mass that is bone, 0 to 1; null when the food has no bone in it. */
  readonly bone_share: number | null;
  readonly bone_source: string | null;
  readonly energy_kcal_per_100g: number;
  /** "label" is the figure a label prints, on foods of the household's own. */
  readonly energy_method: 'atwater' | 'modified_atwater' | 'four_step' | 'label';
  readonly source: string;
  readonly locator: string;
  readonly state: string;
  /** Row of the keeping table; null when the chart has none for it. */
  readonly keeping_class: string | null;
  readonly v: Readonly<Record<string, number>>;
  /** Bounds of a value published as a range, or of an unknown one of which a part is known. */
  readonly low?: Readonly<Record<string, number>>;
  readonly high?: Readonly<Record<string, number>>;
  /** Share of the energy whose value is unknown, where that is not all of it. */
  readonly gap?: Readonly<Record<string, number>>;
  /** Share of the nutrients that standards ask for which have a value, 0 to 1. */
  readonly completeness?: number;
  /** How the food's own record was come by; `from` says where a single value differs. */
  readonly verified?: Verified;
  /** Source, locator and how, of each value that is not of the food's own record. */
  readonly from?: Readonly<Record<string, Provenance>>;
  /** The same for bounds. */
  readonly range_from?: Readonly<Record<string, Provenance>>;
  /** Least and most energy [kcal/100 g]: a cut with bone, by how much of the bone is digested. */
  readonly energy_range?: readonly [number, number];
  /** Other names people use for it, to be searched beside `name`; absent when there are none. */
  readonly also?: readonly string[];
}

/** A compound in which a label may state a nutrient. */
export interface FormRow {
  readonly key: string;
  readonly nutrient: string;
  readonly name: string;
  /** The nutrient in one international unit, in its own unit; null where none is defined. */
  readonly per_iu: number | null;
  /** The nutrient in the compound, by mass. */
  readonly share: number;
  /** How many times as much it may be worth, where sources disagree. */
  readonly high_factor: number;
  readonly source: string;
  readonly locator: string;
  readonly verified: 'read' | 'memory' | 'computed';
}

/** Fresh bone, per 100 g. */
export interface BoneRow {
  readonly key: string;
  readonly energy_kcal_per_100g: number;
  readonly v: Readonly<Record<string, number>>;
  readonly low?: Readonly<Record<string, number>>;
  readonly high?: Readonly<Record<string, number>>;
  readonly upper?: Readonly<Record<string, number>>;
}

/** What a cut with bone is mixed from: the key of a food and of a bone. */
export interface CutRow {
  readonly key: string;
  readonly boneless: string;
  readonly bone: string;
}

export type Stage = 'adult' | 'growth_early' | 'growth_late' | 'reproduction';

export interface StandardValue {
  readonly minimum: number | null;
  readonly recommended: number | null;
  readonly maximum: number | null;
  readonly minimum_per_kg075?: number | null;
  readonly recommended_per_kg075?: number | null;
  readonly maximum_per_kg075?: number | null;
  readonly source: string;
  readonly locator: string;
  readonly verified: 'read' | 'memory' | 'computed';
  /** What the maximum is: "legal maximum" where no nutritional one is printed. */
  readonly maximum_kind?: string | null;
  readonly legal_maximum?: number | null;
  /** Set where the chemical form needs a word. */
  readonly form?: NutrientForm | null;
}

/** What an edition states, what the food tables count, and whether the two are compared. */
export interface NutrientForm extends Sourced {
  readonly stated_as: string;
  readonly counted_as: string;
  readonly is_compared: boolean;
  readonly note: string;
  readonly locator: string;
}

export interface RatioLimits {
  readonly minimum: number;
  readonly maximum: number;
  readonly source: string;
}

/** Another column of an edition for some dogs of a stage, with the figures that differ. */
export interface StandardVariant extends Sourced {
  readonly key: string;
  readonly stage: Stage;
  readonly name: string;
  readonly adult_mass_kg_to: number | null;
  readonly age_months_from: number | null;
  readonly locator: string;
  readonly note: string;
  readonly limits: Readonly<Record<string, StandardValue>>;
  readonly ratio: RatioLimits | null;
}

/** How much of a nutrient goes with each gram of something else in the diet. */
export interface CompanionRule extends Sourced {
  readonly key: string;
  readonly companion: 'protein' | 'polyunsaturated';
  readonly rule: 'above the recommended' | 'at least';
  readonly per_g: number;
  readonly locator: string;
}

/** What an edition takes a dog to eat where it gives amounts per 1000 kcal. */
export interface AssumedIntake extends Sourced {
  readonly kcal_per_kg075: number;
  readonly rule: 'proportional' | 'growth equation';
  /** The puppy the table describes, where the rule is the growth equation. */
  readonly mass_kg: number | null;
  readonly adult_mass_kg: number | null;
  /** Nutrients that the edition prints alike whatever the dog eats. */
  readonly fixed: readonly string[];
  readonly locator: string;
  readonly note: string;
}

export interface StandardEdition {
  readonly key: string;
  readonly name: string;
  readonly stages: Readonly<Partial<Record<Stage, Readonly<Record<string, StandardValue>>>>>;
  /** A stage that is missing has no published intake to go by. */
  readonly intakes?: Readonly<Partial<Record<Stage, AssumedIntake>>>;
  /** One sentence for a household that chooses. */
  readonly words?: string;
  readonly variants?: readonly StandardVariant[];
  readonly ratios?: Readonly<Record<Stage, RatioLimits>>;
  readonly companions?: readonly CompanionRule[];
}

export interface RatioRow {
  readonly minimum: number;
  readonly maximum: number;
  readonly source: string;
  readonly stages: Readonly<Record<Stage, RatioLimits>>;
}

/** One sum of nutrients over another, and the most that is published for it, if any. */
export interface OtherRatioRow extends Sourced {
  readonly key: string;
  readonly name: string;
  readonly top: readonly string[];
  readonly bottom: readonly string[];
  readonly maximum: number | null;
  readonly locator: string;
  readonly note: string;
}

export interface KeepingRow {
  readonly class: string;
  readonly place: string;
  readonly days_min: number;
  readonly days_max: number;
  readonly source: string;
  readonly note?: string;
}

export interface HazardRow {
  readonly key: string;
  readonly name: string;
  readonly synonyms: readonly string[];
  /** Names that hold a synonym and are harmless all the same: "grape seed oil". */
  readonly not_names?: readonly string[];
  /** The published dose and its unit, such as 5 g/kg of body weight; null where none is. */
  readonly amount?: number | null;
  readonly unit?: string | null;
  readonly dose: string;
  /** Products that hold what harms. */
  readonly contents?: readonly { readonly name: string; readonly amount_mg_per_g: number }[];
  readonly effect: string;
  readonly source: string;
  readonly severity: string;
}

export interface CautionRow {
  readonly key: string;
  /** When it is shown: before weighing, before the grinder, after, when thawing, ... */
  readonly moment: string;
  readonly text: string;
  readonly source: string;
  readonly verified?: Verified;
}

/** Where a constant of the energy equations comes from. */
export interface Sourced {
  readonly source: string;
  readonly verified: 'read' | 'memory' | 'computed';
}

export type AgeBand = 'young' | 'adult' | 'senior';
export type Activity = 'low' | 'moderate' | 'high' | 'working';
type Factors = Readonly<Record<'protein' | 'fat' | 'carbohydrate', number>>;

/** The constants of the energy equations, in the units their names end in. */
export interface EnergyTables {
  readonly resting: Sourced & { readonly coefficient: number };
  readonly activities: readonly (Sourced & {
    readonly key: Activity;
    readonly label: string;
    readonly coefficient_kcal_per_kg075: number;
  })[];
  readonly ages: Readonly<
    Record<
      AgeBand,
      Sourced & {
        readonly coefficient_kcal_per_kg075: number;
        readonly lowest: number;
        readonly highest: number;
      }
    >
  >;
  readonly senior: Sourced & { readonly from_years: number };
  readonly adult: Sourced & { readonly from_years: number };
  readonly neutered: Sourced & {
    readonly yes: number;
    readonly no: number;
    readonly unknown: number;
  };
  readonly growth: {
    readonly nrc: Sourced & {
      readonly maintenance: number;
      readonly factor: number;
      readonly rate: number;
      readonly offset: number;
    };
    readonly klein: Sourced & { readonly constant_mj: number; readonly slope_mj: number };
    readonly young: Sourced & { readonly factor: number };
    readonly older: Sourced & { readonly factor: number; readonly from_months: number };
    readonly late_from_weeks: number;
    readonly end_months: Readonly<Record<'small' | 'medium' | 'large' | 'giant', number>>;
    readonly size_kg: Readonly<Record<'small' | 'medium' | 'large', number>>;
  };
  readonly food: {
    readonly atwater: Factors;
    readonly modified_atwater: Factors;
    readonly four_step: Factors;
    readonly digestibility_pct: number;
    readonly digestibility_fall_per_fibre_pct: number;
    readonly urine_kcal_per_protein_g: number;
    /** Fibre of the dry matter above which the four steps run low. */
    readonly fibre_limit_pct: number;
    readonly ash_dry_pct: number;
    readonly ash_moist_pct: number;
    readonly fibre_missing_pct: number;
    readonly moisture_dry_pct: number;
  };
  /** Published figures with the dogs that each describes. */
  readonly methods: readonly MethodRow[];
  /** Further constants by key, each with its source. */
  readonly constants: Readonly<
    Record<string, Sourced & { readonly value: number; readonly locator: string }>
  >;
}

export type Life = 'grown' | 'growing' | 'gestation_early' | 'gestation_late' | 'lactation';

/** A published figure: value × mass^exponent × age^exponent + per_kg × mass, in kcal a day. */
export interface MethodRow extends Sourced {
  readonly key: string;
  readonly name: string;
  readonly life: Life;
  readonly activity: readonly string[];
  readonly neutered: '' | 'yes' | 'no';
  readonly condition: '' | 'over';
  readonly breed: string;
  readonly age_years_from: number | null;
  readonly age_years_to: number | null;
  readonly grown_from: number | null;
  readonly grown_to: number | null;
  readonly adult_mass_kg_from: number | null;
  readonly week_from: number | null;
  readonly week_to: number | null;
  readonly pups_from: number | null;
  readonly pups_to: number | null;
  readonly value: number;
  readonly lowest: number | null;
  readonly highest: number | null;
  readonly unit: 'kcal' | 'times resting';
  readonly mass_exponent: number;
  readonly age_exponent: number | null;
  readonly per_kg: number;
  readonly locator: string;
  readonly note: string;
}

/** The animal a food comes from, and the part of it, with their names. */
export interface OriginTables {
  readonly species: Readonly<Record<string, string>>;
  readonly parts: Readonly<Record<string, string>>;
  /** Species and part by the key of the food; a food of the household's own has none. */
  readonly by_food: Readonly<Record<string, readonly [string, string]>>;
}

export interface Tables {
  readonly version: string;
  readonly nutrients: readonly NutrientRow[];
  readonly sources: Readonly<Record<string, SourceRow>>;
  readonly foods: readonly FoodRow[];
  /** Missing in tables that a phone took in before there were any. */
  readonly origins?: OriginTables;
  /** The most a food of a group holds by any published table; what fills a hole at best. */
  readonly group_upper: Readonly<Record<string, Readonly<Record<string, number>>>>;
  /** Absent while the phone still keeps tables of an older server; so are bones and cuts. */
  readonly forms?: readonly FormRow[];
  readonly bones?: readonly BoneRow[];
  readonly cuts?: readonly CutRow[];
  readonly groups?: readonly { readonly key: string; readonly name: string }[];
  readonly standards: readonly StandardEdition[];
  readonly ratios: {
    readonly calcium_to_phosphorus: RatioRow;
    readonly others?: readonly OtherRatioRow[];
  };
  readonly energy: EnergyTables;
  readonly keeping: readonly KeepingRow[];
  /** Absent while the phone still keeps tables of an older server. */
  readonly thaw?: ThawTables;
  readonly hazards: readonly HazardRow[];
  readonly cautions: readonly CautionRow[];
}
