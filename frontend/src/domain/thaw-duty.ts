/**
 * When to move packs from freezer to fridge, how long they then keep, and which packs to move.
 *
 * The physics is thaw.ts; this puts it together with what a household knows: how cold its fridge
 * is, and how long the chart lets each food keep once it has thawed.
 */

import { coldWaterHours, inFridge, pullWindow, type Pack, type ThawTime } from './thaw.ts';
import { constantOf, type ThawTables } from './thermal.ts';
import type { KeepingRow } from './tables.ts';

/** Where nobody has measured: common practice, no source. Colder takes longer, so both ends count. */
const ASSUMED_FRIDGE_C = [2, 4] as const;
/** The model answers up to here, as FRIDGE_C of its Python twin; a warmer fridge is no place to thaw, and the screen says so. */
const WARMEST_OF_MODEL_C = 10;
const MS_PER_HOUR = 3_600_000;
const MS_PER_DAY = 24 * MS_PER_HOUR;

export interface Fridge {
  readonly coldest_c: number;
  readonly warmest_c: number;
  readonly is_assumed: boolean;
}

/** The fridge of a household, by what somebody measured [°C]; null: nobody did. */
export function fridgeOf(measured_c: number | null | undefined): Fridge {
  if (measured_c === null || measured_c === undefined)
    return { coldest_c: ASSUMED_FRIDGE_C[0], warmest_c: ASSUMED_FRIDGE_C[1], is_assumed: true };
  return { coldest_c: measured_c, warmest_c: measured_c, is_assumed: false };
}

/** How long a pack takes in such a fridge: from the fastest in the warmest to the slowest. */
export function thawTime(tables: ThawTables, pack: Pack, fridge: Fridge): ThawTime {
  const at = (fridge_c: number): ThawTime =>
    inFridge(tables, pack, Math.min(fridge_c, WARMEST_OF_MODEL_C));
  const slow = at(fridge.coldest_c);
  return { ...slow, low_hours: at(fridge.warmest_c).low_hours };
}

/** How long food keeps in the fridge once it has thawed there, by the chart [day]. */
export interface Keeps {
  readonly shortest_days: number;
  readonly longest_days: number;
  /** The class that keeps least, and who says so. */
  readonly class: string;
  readonly source: string;
}

/** The shortest of what the chart says of these classes; null where it says nothing of any. */
export function keepsThawed(
  keeping: readonly KeepingRow[],
  classes: readonly string[],
): Keeps | null {
  const rows = keeping.filter((row) => row.place === 'thawed' && classes.includes(row.class));
  const [first, ...others] = rows;
  if (!first) return null;
  const least = others.reduce((best, row) => (row.days_min < best.days_min ? row : best), first);
  return {
    shortest_days: least.days_min,
    longest_days: Math.min(...rows.map((row) => row.days_max)),
    class: least.class,
    source: least.source,
  };
}

/** Epoch milliseconds. */
export interface Window {
  /** null: no chart says how long it keeps. */
  readonly earliest: number | null;
  readonly latest: number;
  /** Which of the chart's two figures it rests on. */
  readonly by: 'shortest' | 'longest' | null;
  /** No moment is early enough to thaw and late enough to keep, even by the longer figure. */
  readonly is_too_thick: boolean;
}

/** When to move a pack; by the chart's shorter figure, or the longer one where only that fits. */
export function windowOf(needed_at: number, time: ThawTime, keeps: Keeps | null): Window {
  if (keeps === null) return { ...pullWindow(needed_at, time, null), by: null };
  const careful = pullWindow(needed_at, time, keeps.shortest_days);
  if (!careful.is_too_thick) return { ...careful, by: 'shortest' };
  return { ...pullWindow(needed_at, time, keeps.longest_days), by: 'longest' };
}

export type Phase = 'thawing' | 'thawed' | 'at_once' | 'last_days' | 'past';

/** What is known of a pack that was moved; epoch milliseconds. */
export interface Moved {
  /** It may have thawed from here on, and has by there. */
  readonly thawed_from: number;
  readonly thawed_by: number;
  /** The careful end and the last one the chart allows; null: no chart says. */
  readonly use_by: number | null;
  readonly at_latest: number | null;
  /** Of what is used at once: from when on it has been out of the fridge too long. */
  readonly too_warm_from?: number;
}

/**
 * Until when a pack keeps that was moved `since`. The days count from the first moment at which
 * it can have thawed, since nobody looks inside.
 */
export function inFridgeSince(since: number, time: ThawTime, keeps: Keeps | null): Moved {
  const thawed_from = since + Math.min(time.low_hours, time.rule_low_hours) * MS_PER_HOUR;
  return {
    thawed_from,
    thawed_by: since + time.plan_hours * MS_PER_HOUR,
    use_by: keeps && thawed_from + keeps.shortest_days * MS_PER_DAY,
    at_latest: keeps && thawed_from + keeps.longest_days * MS_PER_DAY,
  };
}

/** The same in cold water: it is used as soon as it has thawed, and then counts as out of the fridge. */
export function inWaterSince(tables: ThawTables, since: number, mass_g: number): Moved {
  const [low, high] = coldWaterHours(tables, mass_g);
  const thawed_by = since + high * MS_PER_HOUR;
  return {
    thawed_from: since + low * MS_PER_HOUR,
    thawed_by,
    use_by: thawed_by,
    at_latest: thawed_by,
    too_warm_from: thawed_by + constantOf(tables, 'out_of_fridge.longest') * MS_PER_HOUR,
  };
}

export function phaseOf(moved: Moved, now: number): Phase {
  if (moved.too_warm_from !== undefined && now > moved.thawed_by)
    return now > moved.too_warm_from ? 'past' : 'at_once';
  if (moved.at_latest !== null && now > moved.at_latest) return 'past';
  if (moved.use_by !== null && now > moved.use_by) return 'last_days';
  return now < moved.thawed_by ? 'thawing' : 'thawed';
}

/** What a batch is made from by, at the latest: its earliest component rules. */
export function earliestOf(all: readonly Moved[]): Moved | null {
  const end = (moved: Moved): number => moved.use_by ?? Infinity;
  return all.reduce<Moved | null>(
    (first, moved) => (first === null || end(moved) < end(first) ? moved : first),
    null,
  );
}

/** What lies frozen in one place, oldest first. */
export interface Stack {
  readonly of: string;
  readonly pack_mass_g: number;
  /** Whole or opened, not yet spoken for [g]. */
  readonly free_g: number;
}

export interface Taken {
  readonly of: string;
  readonly packs: number;
  readonly pack_mass_g: number;
}

/** Whole packs, from the oldest on, that come to at least `short_g`; and what is missing then. */
export function packsFor(
  short_g: number,
  stacks: readonly Stack[],
): { readonly taken: readonly Taken[]; readonly missing_g: number } {
  const taken: Taken[] = [];
  let left_g = short_g;
  for (const { of, pack_mass_g, free_g } of stacks) {
    if (left_g <= 0) break;
    const whole = Math.floor(free_g / pack_mass_g);
    const packs = Math.min(whole, Math.ceil(left_g / pack_mass_g));
    if (packs > 0) taken.push({ of, packs, pack_mass_g });
    left_g -= packs * pack_mass_g;
    // What is over whole packs is an opened one: it is moved as it is.
    const opened_g = free_g - whole * pack_mass_g;
    if (left_g <= 0 || opened_g <= 0) continue;
    taken.push({ of, packs: 1, pack_mass_g: opened_g });
    left_g -= opened_g;
  }
  return { taken, missing_g: Math.max(0, left_g) };
}
