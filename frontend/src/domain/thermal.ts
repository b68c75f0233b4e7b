/**
 * Thermal properties of food by what it is made of; the same functions as nutrition/thermal.py,
 * where the sources stand.
 */

import { InputError } from './input-error.ts';

type Quantity = 'density' | 'conductivity' | 'specific_heat';
type Polynomial = readonly number[];

/** Constants of the thawing model as the tables carry them. */
export interface ThawTables {
  readonly components: Readonly<Record<string, Readonly<Record<Quantity, Polynomial>>>>;
  readonly constants: Readonly<
    Record<string, { readonly value: number; readonly source: string; readonly verified: string }>
  >;
}

/** What a food is made of, as mass fractions that add up to 1. */
export interface Parts {
  readonly water: number;
  readonly protein: number;
  readonly fat: number;
  readonly carbohydrate: number;
  readonly ash: number;
}

/** Lean beef, for a food whose own parts are unknown. */
const LEAN_G_PER_100G = { water: 72, protein: 22, fat: 5, carbohydrate: 0, ash: 1 };

export function constantOf(tables: ThawTables, key: string): number {
  const found = tables.constants[key];
  if (!found) throw new Error(`The tables have no constant ${key}.`);
  return found.value;
}

/** Mass fractions from g per 100 g; null when water or fat is unknown. */
export function partsOf(
  per100g: Readonly<Record<string, number | null | undefined>>,
): Parts | null {
  for (const [name, value] of Object.entries(per100g)) {
    if (value != null && !(Number.isFinite(value) && value >= 0))
      throw new InputError(`${name} is ${value} g per 100 g; it must be zero or more.`, [name]);
  }
  const { water, fat } = per100g;
  if (water == null || fat == null) return null;
  const known: Record<string, number> = { water, fat };
  for (const name of ['protein', 'ash', 'carbohydrate']) {
    const rest = Math.max(0, 100 - sum(Object.values(known)));
    known[name] = per100g[name] ?? rest;
  }
  const total = sum(Object.values(known));
  if (total <= 0) throw new InputError('The food has neither water nor solids.', ['water', 'fat']);
  const share = (name: keyof Parts): number => (known[name] ?? 0) / total;
  return {
    water: share('water'),
    protein: share('protein'),
    fat: share('fat'),
    carbohydrate: share('carbohydrate'),
    ash: share('ash'),
  };
}

export function leanMeat(): Parts {
  const parts = partsOf(LEAN_G_PER_100G);
  if (!parts) throw new Error('Lean meat has water.');
  return parts;
}

function sum(values: readonly number[]): number {
  return values.reduce((total, value) => total + value, 0);
}

function component(tables: ThawTables, name: string, quantity: Quantity, at_c: number): number {
  const [c0 = 0, c1 = 0, c2 = 0] = tables.components[name]?.[quantity] ?? [];
  return c0 + c1 * at_c + c2 * at_c ** 2;
}

/** Mass of ice per mass of food. */
function iceShare(tables: ThawTables, parts: Parts, at_c: number, freezing_c: number): number {
  if (at_c >= freezing_c) return 0;
  const frozen = constantOf(tables, 'ice.factor') * parts.water;
  const constant = constantOf(tables, 'ice.constant');
  return Math.min(parts.water, frozen / (1 + constant / Math.log(freezing_c - at_c + 1)));
}

function shares(
  tables: ThawTables,
  parts: Parts,
  at_c: number,
  freezing_c: number,
): [string, number][] {
  const ice = iceShare(tables, parts, at_c, freezing_c);
  return Object.entries({ ...parts, water: parts.water - ice, ice });
}

/** Volumes of the components [m3 per kg of food]. */
function volumes(
  tables: ThawTables,
  parts: Parts,
  at_c: number,
  freezing_c: number,
): [string, number][] {
  return shares(tables, parts, at_c, freezing_c).map(([name, share]) => [
    name,
    share / component(tables, name, 'density', at_c),
  ]);
}

/** Density [kg/m3]. */
export function density(
  tables: ThawTables,
  parts: Parts,
  at_c: number,
  freezing_c: number,
): number {
  return 1 / sum(volumes(tables, parts, at_c, freezing_c).map(([, volume]) => volume));
}

/** Conductivity [W/mK]. */
export function conductivity(
  tables: ThawTables,
  parts: Parts,
  at_c: number,
  freezing_c: number,
): number {
  const made = volumes(tables, parts, at_c, freezing_c);
  const weighted = made.map(
    ([name, volume]) => volume * component(tables, name, 'conductivity', at_c),
  );
  return sum(weighted) / sum(made.map(([, volume]) => volume));
}

/** Specific heat of thawed food [kJ/kgK]. */
export function thawedHeat(tables: ThawTables, parts: Parts): number {
  const solids = 1 - parts.water;
  return (
    constantOf(tables, 'thawed.base') -
    constantOf(tables, 'thawed.solids') * solids -
    constantOf(tables, 'thawed.solids_cubed') * solids ** 3
  );
}

/** Specific heat of frozen food, without what melts [kJ/kgK]. */
export function frozenHeat(
  tables: ThawTables,
  parts: Parts,
  at_c: number,
  freezing_c: number,
): number {
  return sum(
    shares(tables, parts, at_c, freezing_c).map(
      ([name, share]) => share * component(tables, name, 'specific_heat', at_c),
    ),
  );
}

/** Heat in a food, counted from -40 °C [kJ/kg]. */
export function enthalpy(
  tables: ThawTables,
  parts: Parts,
  at_c: number,
  freezing_c: number,
): number {
  if (at_c >= freezing_c) {
    const atFreezing = enthalpy(tables, parts, freezing_c - 1e-12, freezing_c);
    return atFreezing + (at_c - freezing_c) * thawedHeat(tables, parts);
  }
  const value = (key: string): number => constantOf(tables, key);
  const reference_c = -value('enthalpy.reference_depression');
  const bound = Math.min(parts.water, value('bound_water_per_protein') * parts.protein);
  const solids = 1 - parts.water;
  const warming = value('enthalpy.frozen_base') + value('enthalpy.frozen_solids') * solids;
  const melting =
    ((parts.water - bound) * value('fusion_heat') * freezing_c) / (reference_c * at_c);
  return (at_c - reference_c) * (warming - melting);
}
