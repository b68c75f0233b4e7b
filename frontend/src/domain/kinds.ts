/**
 * What each kind of record holds, as TypeScript sees it.
 *
 * The declarations themselves, with limits and roles, are in kinds.gen.json, which the
 * server exports; kinds.test.ts fails when the two name different registers. A register
 * that is not required may be null or absent: nobody said.
 */

import type { Form } from './shapes.ts';

export type Uuid = string;
/** YYYY-MM-DD */
export type Day = string;
/** YYYY-MM-DDTHH:MM:SSZ */
export type Instant = string;
/** HH:MM */
export type ClockTime = string;

export interface Dog {
  name: string;
  breed?: string | null;
  born?: { date: Day; estimated?: boolean | null } | null;
  sex?: 'female' | 'male' | null;
  neutered?: boolean | null;
  adult_weight_g?: number | null;
  activity?: 'low' | 'moderate' | 'high' | 'working' | null;
  energy_vet?: { kcal_per_day: number; note?: string | null } | null;
  vet_notes?: string | null;
  archived?: boolean | null;
  /** Of an entire female; what contradicts that is left aside. */
  reproduction?: {
    mated_on?: Day | null;
    whelped_on?: Day | null;
    pups?: number | null;
    weaned_on?: Day | null;
  } | null;
  /** What a person settled for this dog; a batch that it eats keeps to them. */
  caps?: {
    fat_g_per_1000_kcal?: number | null;
    bone_pct?: number | null;
    liver_pct?: number | null;
    organ_pct?: number | null;
  } | null;
  /** Keys of foods. */
  may_not_have?: string[] | null;
  weight_plan?: {
    goal: 'lose' | 'gain' | 'hold';
    agreed_with_vet?: boolean | null;
    target_mass_g?: number | null;
  } | null;
}

/** What the household has chosen for all its members: one record at a known id. */
export interface Preference {
  standard?: 'nrc-2006' | 'aafco-2016' | 'fediaf-2021' | null;
  /** Null: nobody has measured it. */
  fridge_c?: number | null;
}

export interface Weighing {
  dog: Uuid;
  at: Instant;
  mass_g: number;
  note?: string | null;
}

export interface Condition {
  dog: Uuid;
  at: Instant;
  bcs?: number | null;
  mcs?: 'normal' | 'mild' | 'moderate' | 'marked' | null;
  note?: string | null;
}

export type Topic = 'stool' | 'appetite' | 'vomiting' | 'behaviour' | 'note';

export interface Observation {
  dog: Uuid;
  at: Instant;
  topic: Topic;
  word?: string | null;
  flags?: string[] | null;
  note?: string | null;
  meal?: Uuid | null;
}

export type ServingUnit =
  'tablet' | 'capsule' | 'ml' | 'scoop' | 'teaspoon' | 'drop' | 'piece' | 'cup' | 'g';

export interface LabelLine {
  nutrient: string;
  amount: number;
  unit: 'pct' | 'g' | 'mg' | 'µg' | 'IU';
  per: '100g' | 'kg' | 'serving';
  form?: string | null;
  bound?: 'min' | 'max' | null;
  basis?: 'as_fed' | 'dry_matter' | null;
}

export interface Food {
  name: string;
  style?: 'dry' | 'treat' | 'wet' | 'cooked' | 'raw' | null;
  label?: {
    protein_pct: number;
    fat_pct: number;
    fibre_pct?: number | null;
    moisture_pct?: number | null;
    ash_pct?: number | null;
    means?: 'typical' | 'guaranteed' | null;
    basis?: 'as_fed' | 'dry_matter' | null;
  } | null;
  /** Further lines of the label, as printed. */
  lines?: LabelLine[] | null;
  /** A household measure: one tablet, ml or cup, and its mass. */
  serving?: { unit: ServingUnit; mass_g: number; count?: number | null } | null;
  /** The table's food this is an edited copy of; the own figures are in nutrients_per_100g. */
  copied_from?: string | null;
  bone_share_pct?: number | null;
  energy_kcal_per_100g?: number | null;
  nutrients_per_100g?: Record<string, number> | null;
  note?: string | null;
  archived?: boolean | null;
}

export type { Form };
export type Place = 'freezer' | 'fridge' | 'shelf';

export interface Lot {
  food: string;
  pack_mass_g: number;
  place?: Place | null;
  place_name?: string | null;
  shelf?: string | null;
  form?: Form | null;
  thickness_mm?: number | null;
  /** Reared, grown or hunted by the household; false was bought, null was not said. */
  own?: boolean | null;
  frozen_on?: Day | null;
  bought_on?: Day | null;
  best_by?: Day | null;
  price?: { minor: number; currency: string } | null;
  seller?: string | null;
  /** Before it was divided into packs. */
  bought_as?: { packs: number; pack_mass_g: number } | null;
  divided_from?: Uuid | null;
  note?: string | null;
}

export interface Movement {
  of: Uuid;
  what: 'stored' | 'thawed' | 'refrozen' | 'used' | 'discarded';
  mass_g: number;
  at: Instant;
  batch?: Uuid | null;
  serving?: Uuid | null;
  pull?: Uuid | null;
  way?: 'fridge' | 'cold_water' | null;
  /** The lot that this mass was divided into: it moved, nobody ate it. */
  into?: Uuid | null;
  note?: string | null;
}

export interface Count {
  of: Uuid;
  counted_g: number;
  /** The movements and counts on screen while counting. */
  knew: Uuid[];
  at: Instant;
}

export interface Batch {
  number?: number | null;
  /** What people call it, such as a stew from the table; its number and method otherwise. */
  name?: string | null;
  method: 'ground' | 'chopped' | 'cooked' | 'bone_in' | 'dry_mix';
  plate_mm?: number | null;
  planned_for?: Day | null;
  days?: number | null;
  dogs?: Uuid[] | null;
  plan?: { food: string; mass_g: number }[] | null;
  stage: 'planned' | 'weighing' | 'mixed' | 'done';
  yield_g?: number | null;
  made_at?: Instant | null;
  cautions?: { what: string; at: Instant }[] | null;
  /** What somebody saw and felt once it was mixed; bone is asked only where some went in. */
  mix?: { even: boolean; bone?: 'none' | 'pieces' | null; at: Instant; by: Uuid } | null;
  /** To be made again. */
  favourite?: boolean | null;
  note?: string | null;
}

export interface WeighIn {
  batch: Uuid;
  food: string;
  mass_g: number;
  lot?: Uuid | null;
  at: Instant;
}

export interface Bag {
  batch: Uuid;
  mass_g: number;
  count: number;
  place: 'fridge' | 'freezer';
  place_name?: string | null;
  shelf?: string | null;
  form?: Form | null;
  thickness_mm?: number | null;
  packed_at: Instant;
  use_by?: Day | null;
  note?: string | null;
}

/** Packs to move from freezer to fridge. Which were moved is in the ledger: see `packId`. */
export interface Pull {
  of: Uuid;
  pack_mass_g: number;
  packs: number;
  needed_at: Instant;
  batch?: Uuid | null;
  mealtime?: Uuid | null;
  assignee?: Uuid | null;
  note?: string | null;
}

export interface Duty {
  what: 'pull' | 'grind' | 'feed' | 'weigh' | 'shop' | 'ring_vet' | 'other';
  title?: string | null;
  dog?: Uuid | null;
  due_at?: Instant | null;
  assignee?: Uuid | null;
  done?: { at: Instant; by: Uuid } | null;
  note?: string | null;
}

export type Weekday = 'mon' | 'tue' | 'wed' | 'thu' | 'fri' | 'sat' | 'sun';

/** A duty that comes again. What somebody did about one of its days is a duty: see `dutyId`. */
export interface Rota {
  what: Duty['what'];
  title?: string | null;
  dog?: Uuid | null;
  starts_on: Day;
  ends_on?: Day | null;
  time: ClockTime;
  /** Exactly one of the two. */
  repeats: { every_days?: number | null; weekdays?: Weekday[] | null };
  /** Members, one occurrence each, over and over; without any it is anyone's. */
  turns?: Uuid[] | null;
  note?: string | null;
}

/** Days on which every meal offers a dry food of the household’s own. */
export interface Travel {
  days: { first: Day; last: Day };
  food: Uuid;
}

export interface Mealtime {
  name: string;
  time: ClockTime;
  dogs?: Uuid[] | null;
  archived?: boolean | null;
}

export interface Meal {
  mealtime?: Uuid | null;
  name?: string | null;
  day: Day;
  at: Instant;
  note?: string | null;
}

export type Appetite = 'left_it' | 'picked' | 'slow' | 'keen';

/** Exactly one of the three. */
export interface Served {
  food?: string | null;
  batch?: Uuid | null;
  bag?: Uuid | null;
}

export interface Serving {
  meal: Uuid;
  dog: Uuid;
  what: Served;
  offered_g: number;
  /** Null: nothing was noted; counted as eaten and reported as assumed. */
  left?: { g?: number | null; share?: number | null } | null;
  appetite?: Appetite | null;
  note?: string | null;
}

export interface Summary {
  dog: Uuid;
  week: string;
  body: unknown;
}

/** The record of each kind, by entity name. */
export interface Values {
  dog: Dog;
  weighing: Weighing;
  condition: Condition;
  observation: Observation;
  preference: Preference;
  food: Food;
  lot: Lot;
  movement: Movement;
  count: Count;
  batch: Batch;
  weigh_in: WeighIn;
  bag: Bag;
  pull: Pull;
  duty: Duty;
  rota: Rota;
  travel: Travel;
  mealtime: Mealtime;
  meal: Meal;
  serving: Serving;
  summary: Summary;
}

export type Entity = keyof Values;
