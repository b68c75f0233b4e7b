/** What a diet must hold, for one dog by what it eats. The twin of the server's standards. */

import type { Correction, Targets } from './adequacy.ts';
import { per1000Kcal, type Totals } from './composition.ts';
import { checkRange, growthRise } from './energy.ts';
import { InputError } from './input-error.ts';
import type { AssumedIntake, CompanionRule, StandardValue, Tables } from './tables.ts';

export interface Eating {
  /** What the dog eats in a day. */
  readonly energy_kcal: number;
  readonly metabolic_mass_kg075: number;
  /** Weight now over the expected adult weight; a growing dog without it is not corrected. */
  readonly grown_share?: number | null;
}

/**
 * The limits per 1000 kcal of a dog that eats so much, beside the table's.
 *
 * A dog that eats less than the table assumes needs the same nutrients in less food. One that eats
 * more keeps the table's figures; a maximum is never raised; a minimum never passes the maximum.
 */
export function forDog(
  tables: Pick<Tables, 'standards' | 'energy'>,
  table: Targets,
  eating: Eating,
): Targets {
  checkRange('energy_kcal', eating.energy_kcal, 10, 25000, 'kcal/day');
  checkRange('metabolic_mass_kg075', eating.metabolic_mass_kg075, 0.1, 50, 'kg^0.75');
  const grown = eating.grown_share ?? null;
  if (grown !== null) checkRange('grown_share', grown, 0.001, 20, 'of the adult weight');
  const own = eating.energy_kcal / eating.metabolic_mass_kg075;
  const intake = intakeOf(tables, table);
  const assumed = intake === null ? null : assumedKcal(tables, intake, grown);
  const factor = assumed === null ? 1 : Math.max(1, assumed / own);
  const fixed = intake?.fixed ?? [];
  const limits = Object.entries(table.limits).map(
    ([nutrient, row]) =>
      [nutrient, ownLimits(row, fixed.includes(nutrient) ? 1 : factor, own)] as const,
  );
  return {
    ...table,
    limits: Object.fromEntries(limits),
    factor,
    correction: correctionOf(assumed, factor),
    assumed_kcal_per_kg075: assumed,
    own_kcal_per_kg075: own,
  };
}

function correctionOf(assumed: number | null, factor: number): Correction {
  if (assumed === null) return 'not published';
  return factor > 1 ? 'denser' : 'eats enough';
}

/** What an edition takes a dog of a stage to eat; null where it prints nothing to go by. */
export function intakeOf(
  tables: Pick<Tables, 'standards'>,
  { edition, stage }: Pick<Targets, 'edition' | 'stage'>,
): AssumedIntake | null {
  const found = tables.standards.find((each) => each.key === edition);
  if (!found) {
    throw new InputError(`There is no edition called “${edition}”.`, ['edition']);
  }
  return found.intakes?.[stage] ?? null;
}

/** The puppy of a footnote, brought along the growth equation to this dog's share of growth. */
function assumedKcal(
  tables: Pick<Tables, 'energy'>,
  intake: AssumedIntake,
  grown: number | null,
): number | null {
  if (intake.mass_kg === null || intake.adult_mass_kg === null) return intake.kcal_per_kg075;
  if (grown === null) return null;
  const described = growthRise(tables.energy, intake.mass_kg / intake.adult_mass_kg);
  return (intake.kcal_per_kg075 * growthRise(tables.energy, grown)) / described;
}

function ownLimits(row: StandardValue, factor: number, own: number): StandardValue {
  const bySize = row.maximum_per_kg075 ?? null;
  const bounds = [row.maximum, bySize === null ? null : (bySize * 1000) / own];
  const known = bounds.filter((each) => each !== null);
  const maximum = known.length ? Math.min(...known) : null;
  const minimum = capped(row.minimum, factor, maximum);
  const recommended = capped(row.recommended, factor, maximum);
  const isChanged =
    minimum !== row.minimum || recommended !== row.recommended || maximum !== row.maximum;
  const verified = isChanged && row.verified === 'read' ? 'computed' : row.verified;
  return { ...row, minimum, recommended, maximum, verified };
}

function capped(amount: number | null, factor: number, maximum: number | null): number | null {
  if (amount === null) return null;
  return maximum === null ? amount * factor : Math.min(amount * factor, maximum);
}

/**
 * The most protein or fat that 1000 kcal of food may be said to hold, in g: of protein alone they
 * are 250 g (Atwater, 4 kcal/g). The margin is a choice of this project.
 */
const MOST_G = 400;

/** What a diet holds per 1000 kcal, for the targets that rise with it. */
export interface Companions {
  readonly protein_g?: number | null;
  /** Polyunsaturated fatty acids; unknown parts left out. */
  readonly polyunsaturated_g?: number | null;
}

/** The targets with what this diet's protein and fat ask beyond the table; never less. */
export function withCompanions(
  tables: Pick<Tables, 'standards'>,
  table: Targets,
  diet: Companions,
): Targets {
  const amounts = {
    protein: diet.protein_g ?? null,
    polyunsaturated: diet.polyunsaturated_g ?? null,
  };
  for (const [name, amount] of Object.entries(amounts)) {
    if (amount !== null) checkRange(`${name}_g`, amount, 0, MOST_G, 'g per 1000 kcal');
  }
  const rules = tables.standards.find((each) => each.key === table.edition)?.companions ?? [];
  const limits = { ...table.limits };
  for (const rule of rules) {
    const row = limits[rule.key];
    const amount = amounts[rule.companion];
    if (row && amount !== null) {
      limits[rule.key] = raised(row, rule, amount, limits[rule.companion]?.recommended ?? 0);
    }
  }
  return { ...table, limits };
}

const POLYUNSATURATED = ['linoleic', 'alpha_linolenic', 'arachidonic', 'epa', 'dha'] as const;

/** The targets with what the known protein and fat of a diet ask beyond the table. */
export function forDiet(
  tables: Pick<Tables, 'standards'>,
  table: Targets,
  { known, energy_kcal }: Pick<Totals, 'known' | 'energy_kcal'>,
): Targets {
  const parts = POLYUNSATURATED.map((part) => known[part] ?? null).filter((part) => part !== null);
  const fat_g = parts.some((part) => part > 0) ? parts.reduce((all, part) => all + part, 0) : null;
  return withCompanions(tables, table, {
    protein_g: believed(known['protein'] ?? null, energy_kcal),
    polyunsaturated_g: believed(fat_g, energy_kcal),
  });
}

/** Null also for more than 1000 kcal of any food can hold: its energy was mistyped. */
function believed(amount_g: number | null, energy_kcal: number): number | null {
  const per = per1000Kcal(amount_g, energy_kcal);
  return per === null || per > MOST_G ? null : per;
}

function raised(
  row: StandardValue,
  rule: CompanionRule,
  amount_g: number,
  level_g: number,
): StandardValue {
  const base = row.recommended ?? 0;
  const asked =
    rule.rule === 'at least'
      ? rule.per_g * amount_g
      : base + rule.per_g * Math.max(0, amount_g - level_g);
  if (asked <= base) return row;
  return {
    ...row,
    recommended: asked,
    verified: row.verified === 'read' ? 'computed' : row.verified,
  };
}
