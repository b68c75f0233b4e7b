/** By what a batch is judged: the own targets of every dog that eats it, and the strictest of all. */
import { app } from '../../db/store.svelte';
import { targets, type Targets } from '../../domain/adequacy';
import { InputError } from '../../domain/input-error';
import { ownTargets } from '../../domain/own-targets';
import type { Stage, StandardValue, Tables } from '../../domain/tables';
import { fixed, listed } from '../../ui/words';
import { doubtWords, sourceWords } from '../stores/keeping';
import type { Eater } from './eaters';

/** The yardstick until the household chooses: NRC 2006, allowance and safe upper limit. */
export const EDITION = 'nrc-2006';

/** The yardstick of the household, where these tables have it. */
export function editionIn(tables: Pick<Tables, 'standards'>): string {
  const isThere = tables.standards.some((each) => each.key === app.standard);
  return isThere && app.standard !== null ? app.standard : EDITION;
}

/** One dog's own targets beside those the table prints for its stage. */
export interface Yardstick {
  /** Null where no dog is chosen: then it is a grown dog of the table. */
  readonly name: string | null;
  readonly own: Targets;
  readonly table: Targets;
}

/** The yardstick of each dog, by what it ate on an average day where that is given. */
export function yardsticksOf(
  tables: Tables,
  eaters: readonly Eater[],
  eaten_kcal_per_day: number | null = null,
): [Yardstick, ...Yardstick[]] {
  const edition = editionIn(tables);
  const [first, ...others] = eaters.map((eater): Yardstick => {
    const table = targets(tables, edition, eater.stage, eater.size);
    return { name: eater.name, own: ownOf(tables, table, eater, eaten_kcal_per_day), table };
  });
  if (first) return [first, ...others];
  const table = targets(tables, edition, 'adult');
  return [{ name: null, own: table, table }];
}

/** What all dogs that eat a batch ask of it together. */
export interface Asked {
  readonly yardsticks: readonly Yardstick[];
  readonly own: Targets;
  readonly table: Targets;
}

interface Kept extends Asked {
  readonly tables: Tables;
  readonly edition: string;
  readonly eaten_kcal_per_day: number | null;
}

/** The dogs stay the same while a batch is weighed in, key by key: what they ask is kept. */
const kept = new WeakMap<readonly Eater[], Kept>();

/** The yardstick of each dog and the strictest of all. */
export function askedBy(
  tables: Tables,
  eaters: readonly Eater[],
  eaten_kcal_per_day: number | null,
): Asked {
  const edition = editionIn(tables);
  const before = kept.get(eaters);
  const isSame =
    before?.tables === tables &&
    before.edition === edition &&
    before.eaten_kcal_per_day === eaten_kcal_per_day;
  if (before && isSame) return before;
  const [first, ...others] = yardsticksOf(tables, eaters, eaten_kcal_per_day);
  const asked: Kept = {
    tables,
    edition,
    eaten_kcal_per_day,
    yardsticks: [first, ...others],
    own: strictest([first.own, ...others.map((each) => each.own)]),
    table: strictest([first.table, ...others.map((each) => each.table)]),
  };
  kept.set(eaters, asked);
  return asked;
}

function ownOf(
  tables: Tables,
  table: Targets,
  { requirement, grown_share }: Eater,
  eaten_kcal_per_day: number | null,
): Targets {
  try {
    return ownTargets(tables, table, requirement, { eaten_kcal_per_day, grown_share });
  } catch (error) {
    // A weight or a need out of all range is told where it is entered; the table still stands.
    if (error instanceof InputError) return table;
    throw error;
  }
}

function greatest(values: readonly (number | null)[]): number | null {
  const present = values.filter((value) => value !== null);
  return present.length === 0 ? null : Math.max(...present);
}

function smallest(values: readonly (number | null)[]): number | null {
  const present = values.filter((value) => value !== null);
  return present.length === 0 ? null : Math.min(...present);
}

function strictestRow(rows: readonly [StandardValue, ...StandardValue[]]): StandardValue {
  return {
    ...rows[0],
    minimum: null,
    recommended: greatest(rows.map((row) => row.recommended ?? row.minimum)),
    maximum: smallest(rows.map((row) => row.maximum)),
  };
}

/** The highest minimum and the lowest maximum of several dogs, as one. */
export function strictest(all: readonly [Targets, ...Targets[]]): Targets {
  const [first, ...others] = all;
  const nutrients = new Set(all.flatMap((each) => Object.keys(each.limits)));
  const limits = [...nutrients].flatMap((nutrient) => {
    const [row, ...rows] = all.flatMap((each) => each.limits[nutrient] ?? []);
    return row === undefined ? [] : [[nutrient, strictestRow([row, ...rows])] as const];
  });
  const ratio = others.reduce(
    (strict, { ratio: next }) => ({
      minimum: Math.max(strict.minimum, next.minimum),
      maximum: Math.min(strict.maximum, next.maximum),
      source: next.maximum < strict.maximum ? next.source : strict.source,
    }),
    first.ratio,
  );
  return { ...first, limits: Object.fromEntries(limits), ratio };
}

const STAGE_WORDS: Readonly<Record<Stage, string>> = {
  adult: 'grown',
  growth_early: 'a young puppy',
  growth_late: 'growing',
  reproduction: 'in whelp or suckling',
};

/** Where a wanted range comes from, one line for each stage and each dog that differs from it. */
export function sourceLines(tables: Tables, all: readonly Yardstick[], nutrient: string): string[] {
  const lines = all.flatMap(({ table }) => {
    const row = table.limits[nutrient];
    if (row === undefined) return [];
    const memory = doubtWords(row.verified);
    const stage = STAGE_WORDS[table.stage];
    return [`For dogs ${stage}: ${sourceWords(tables.sources, row.source, row.locator)}${memory}`];
  });
  return [...new Set(lines)];
}

/** "Morag eats 75 kcal for each kg^0.75, the table takes 130: 1.7 times as much in each bite". */
export function ownLines(all: readonly Yardstick[]): string[] {
  return all.flatMap(({ name, own }) => {
    const { assumed_kcal_per_kg075: assumed, own_kcal_per_kg075: eats, factor } = own;
    if (name === null || eats === null) return [];
    if (assumed === null) {
      return [`${name}: the table’s own figures; the edition prints none for dogs that eat less.`];
    }
    const intake = `${fixed(eats, 0)} kcal a day for each kg of weight to the power 0.75`;
    return factor > 1
      ? [
          `${name} is counted with ${intake}; the table takes ${fixed(assumed, 0)}. ` +
            `So the food must hold ${fixed(factor, 2)} times what the table says. Both are shown.`,
        ]
      : [`${name} is counted with ${intake}, no less than the table’s ${fixed(assumed, 0)}.`];
  });
}

/** By what and for whom it is judged. */
export function yardstickWords(tables: Tables | null, eaters: readonly Eater[]): string {
  const key = tables === null ? EDITION : editionIn(tables);
  const edition = tables?.standards.find((each) => each.key === key)?.name ?? key;
  const growing = eaters
    .filter((eater) => eater.stage.startsWith('growth'))
    .map((eater) => eater.name);
  const whom =
    eaters.length === 0
      ? 'a grown dog, since none is chosen'
      : growing.length === 0
        ? listed(eaters.map((eater) => eater.name))
        : `the strictest of ${listed(eaters.map((eater) => eater.name))}; ${listed(growing)} still growing`;
  return `Per 1000 kcal, for ${whom}. ${edition}.`;
}
