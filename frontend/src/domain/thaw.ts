/**
 * How long a frozen pack takes to thaw, when to pull it, and what is not allowed.
 *
 * The same functions as nutrition/thaw.py, where the sources stand; fixtures/vectors/thaw.json
 * proves it.
 */

import { InputError } from './input-error.ts';
import { shapeOf, type PlankShape } from './shapes.ts';
import {
  conductivity,
  constantOf,
  density,
  enthalpy,
  frozenHeat,
  leanMeat,
  thawedHeat,
  type Parts,
  type ThawTables,
} from './thermal.ts';

export const WAYS = ['fridge', 'cold_water', 'counter'] as const;
export type Way = (typeof WAYS)[number];

const FRIDGE_C = [1, 10] as const;
const FREEZER_C = [-40, -8] as const;
const MELTED_C = 0;
const STILL_FROZEN_C = -10;
const SECONDS_PER_HOUR = 3600;
const MS_PER_HOUR = 3_600_000;
const MS_PER_DAY = 24 * MS_PER_HOUR;
const USUAL_FREEZER_C = -18;

export interface Pack {
  readonly mass_g: number;
  readonly form: string;
  /** As measured; null takes what is usual of the form. */
  readonly thickness_mm: number | null;
  /** null: unknown, so lean beef is assumed. */
  readonly parts: Parts | null;
}

/** Hours in the fridge: the physics, the printed rule, and the longer of the two to plan with. */
export interface ThawTime {
  readonly low_hours: number;
  readonly high_hours: number;
  readonly rule_low_hours: number;
  readonly rule_high_hours: number;
  readonly plan_hours: number;
  readonly governed_by: 'physics' | 'rule';
  readonly thickness_mm: number;
  readonly thickness_is_assumed: boolean;
  readonly parts_are_assumed: boolean;
  readonly fridge_is_too_warm: boolean;
}

/** Epoch milliseconds; `earliest` is null where no chart says how long it keeps. */
export interface PullWindow {
  readonly earliest: number | null;
  readonly latest: number;
  readonly is_too_thick: boolean;
}

interface Conditions {
  readonly parts: Parts;
  readonly freezing_c: number;
  readonly freezer_c: number;
  readonly fridge_c: number;
  readonly heat_transfer_w_per_m2k: number;
}

/** Time until the middle of a pack has thawed [hour]: Plank's, corrected for thawing. */
export function thawingHours(tables: ThawTables, shape: PlankShape, given: Conditions): number {
  const { parts, freezing_c, freezer_c, fridge_c } = given;
  const value = (key: string): number => constantOf(tables, key);
  const thawedDensity = density(tables, parts, fridge_c, freezing_c);
  const frozenDensity = density(tables, parts, freezer_c, freezing_c);
  const conducts = conductivity(tables, parts, fridge_c, freezing_c);
  const thawed = thawedHeat(tables, parts) * thawedDensity;
  const frozen = frozenHeat(tables, parts, freezer_c, freezing_c) * frozenDensity;
  const melting =
    thawedDensity *
    (enthalpy(tables, parts, MELTED_C, freezing_c) -
      enthalpy(tables, parts, STILL_FROZEN_C, freezing_c));
  const biot = (given.heat_transfer_w_per_m2k * shape.thickness_m) / conducts;
  const stefan = (thawed * (fridge_c - freezing_c)) / melting;
  const plank = (frozen * (freezing_c - freezer_c)) / melting;
  const fourier =
    value('cleland.factor') *
    (shape.surface / (biot * stefan) + shape.inside / stefan) ** value('cleland.power') *
    stefan ** value('cleland.stefan_power') *
    plank ** value('cleland.plank_power');
  return (fourier * thawed * 1000 * shape.thickness_m ** 2) / conducts / SECONDS_PER_HOUR;
}

/** How long a pack takes in the fridge, as a range, beside the printed rule. */
export function inFridge(
  tables: ThawTables,
  pack: Pack,
  fridge_c: number,
  freezer_c: number = USUAL_FREEZER_C,
): ThawTime {
  check(pack.mass_g, 'mass', [0, 100_000], 'g');
  check(fridge_c, 'fridge temperature', FRIDGE_C, 'degC');
  check(freezer_c, 'freezer temperature', FREEZER_C, 'degC');
  const value = (key: string): number => constantOf(tables, key);
  const parts = pack.parts ?? leanMeat();
  const slowest = -value('freezing_depression.lowest');
  const volume_m3 = pack.mass_g / 1000 / density(tables, parts, freezer_c, slowest);
  const shape = shapeOf(pack.form, volume_m3, pack.thickness_mm);
  const hours = (freezing_c: number, air: string): number =>
    thawingHours(tables, shape, {
      parts,
      freezing_c,
      freezer_c,
      fridge_c,
      heat_transfer_w_per_m2k: value(air),
    });
  const error = value('cleland.error') / 100;
  const fastest = -value('freezing_depression.highest');
  const high_hours = (1 + error) * hours(slowest, 'heat_transfer.still_air_low');
  const [rule_low_hours, rule_high_hours] = ruleOfThumbHours(tables, pack.mass_g);
  return {
    low_hours: (1 - error) * hours(fastest, 'heat_transfer.still_air_high'),
    high_hours,
    rule_low_hours,
    rule_high_hours,
    plan_hours: Math.max(high_hours, rule_high_hours),
    governed_by: high_hours > rule_high_hours ? 'physics' : 'rule',
    thickness_mm: shape.thickness_m * 1000,
    thickness_is_assumed: pack.thickness_mm === null,
    parts_are_assumed: pack.parts === null,
    fridge_is_too_warm: isTooWarm(tables, fridge_c),
  };
}

function ruleOfThumbHours(tables: ThawTables, mass_g: number): [number, number] {
  const least = constantOf(tables, 'rule.least');
  const by = (key: string): number => Math.max(least, (constantOf(tables, key) * mass_g) / 1000);
  return [by('rule.low'), by('rule.high')];
}

/** Hours in cold water that is changed every half hour; used at once, never refrozen raw. */
export function coldWaterHours(tables: ThawTables, mass_g: number): [number, number] {
  const by = (key: string): number => (constantOf(tables, key) * mass_g) / 1000;
  return [by('cold_water.low'), by('cold_water.high')];
}

export function isTooWarm(tables: ThawTables, fridge_c: number): boolean {
  return fridge_c > constantOf(tables, 'fridge.warmest');
}

/** When to move a pack to the fridge so that it is thawed and still good at `needed_at`. */
export function pullWindow(
  needed_at: number,
  time: ThawTime,
  keeps_days: number | null,
): PullWindow {
  const latest = needed_at - time.plan_hours * MS_PER_HOUR;
  if (keeps_days === null) return { earliest: null, latest, is_too_thick: false };
  const soonest = Math.min(time.low_hours, time.rule_low_hours);
  const earliest = needed_at - soonest * MS_PER_HOUR - keeps_days * MS_PER_DAY;
  return { earliest, latest, is_too_thick: earliest > latest };
}

/** Why a way of thawing is not allowed; null when it is. */
export function refusal(tables: ThawTables, way: string): string | null {
  checkWay(way);
  if (way !== 'counter') return null;
  const hours = constantOf(tables, 'out_of_fridge.longest').toFixed(0);
  return (
    'Never on the counter: the outside is warm enough for bacteria long before the middle ' +
    `has thawed, and raw food may be out of the fridge for ${hours} hours at most. Use ` +
    'the fridge, or cold water in a sealed bag.'
  );
}

/** Why a thawed pack may not be frozen again; null when it may, at a loss of quality. */
export function refreezing(
  way: string,
  isStillGood: boolean,
  isCookedSince = false,
): string | null {
  checkWay(way);
  if (!isStillGood)
    return 'It is past its use-by or was too warm. Discard it; freezing does not mend that.';
  if (way === 'counter') return 'It thawed outside the fridge. Discard it.';
  if (way === 'cold_water' && !isCookedSince)
    return 'It thawed in cold water: use it now, or cook it before freezing.';
  return null;
}

function checkWay(way: string): asserts way is Way {
  if (!(WAYS as readonly string[]).includes(way))
    throw new InputError(
      `There is no way of thawing called ${way}. Use one of: ${WAYS.join(', ')}.`,
      ['way of thawing'],
    );
}

function check(
  given: number,
  name: string,
  [low, high]: readonly [number, number],
  unit: string,
): void {
  if (!Number.isFinite(given) || given < low || given > high || (low === 0 && given === 0))
    throw new InputError(`${name} is ${given} ${unit}; allowed is ${low} to ${high} ${unit}.`, [
      name,
    ]);
}
