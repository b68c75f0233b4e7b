/** A batch judged for the dogs that eat it: the strictest wish of all of them, nutrient by nutrient. */
import type { Rec } from '../../db/store.svelte';
import { judge, notCompared, withDoubt, type Judgement, type Targets } from '../../domain/adequacy';
import { least, totals, type Portion as Counted, type Totals } from '../../domain/composition';
import { excesses } from '../../domain/excess';
import { judgeRatios, ratioWithDoubt, type RatioJudgement } from '../../domain/ratios';
import { forDiet } from '../../domain/standards';
import type { FoodRow, Tables } from '../../domain/tables';
import { shortFigure, type Reading } from '../../ui/beams';
import { doubtWords, sourceWords } from '../stores/keeping';
import { foodNames, ownFood } from './catalogue';
import type { CheckRow, ExcessLine, UnjudgedRow } from './checks';
import type { Eater } from './eaters';
import { passedBy, type Passed } from './own-limits';
import { ownLines, sourceLines, askedBy, yardstickWords, type Yardstick } from './yardsticks';

export { EDITION, editionIn } from './yardsticks';

export interface Portion {
  readonly food: string;
  readonly mass_g: number;
}

/** Foods by key, those of the table and those of the household. */
export interface Kitchen {
  readonly tables: Tables | null;
  readonly food: (key: string) => FoodRow | null;
  /** The food itself, or the table's food that a copy was made of: what it is by nature. */
  readonly kind: (key: string) => FoodRow | null;
  readonly name: (key: string) => string;
  readonly known_per_100g: (food: FoodRow, nutrient: string) => number | null;
}

export interface Verdict {
  readonly mass_g: number;
  readonly energy_kcal: number;
  readonly rows: readonly CheckRow[];
  /** What is shown and not judged, and why. */
  readonly unjudged: readonly UnjudgedRow[];
  /** What passes an upper limit, or may pass it. */
  readonly excess: readonly ExcessLine[];
  /** What passes a limit of one dog's own, or may pass it. */
  readonly passed: readonly Passed[];
  /** Foods that could not be counted, for want of their composition. */
  readonly missing: readonly string[];
  readonly totals: Totals | null;
  /** The foods that were counted, with their grams: what is behind every figure. */
  readonly counted: readonly Counted[];
  /** How each dog's own targets differ from the table's. */
  readonly own: readonly string[];
}

/** The energy of all that was judged [kcal]; null while a food of it could not be counted. */
export function wholeEnergy_kcal({
  energy_kcal,
  missing,
}: Pick<Verdict, 'energy_kcal' | 'missing'>): number | null {
  return missing.length > 0 ? null : energy_kcal;
}

export function kitchenOf(tables: Tables | null, own: readonly Rec<'food'>[]): Kitchen {
  const rows = new Map<string, FoodRow>(tables?.foods.map((food) => [food.key, food]) ?? []);
  for (const food of own) {
    const row = tables === null ? null : ownFood(tables, food);
    if (row !== null) rows.set(food.rid, row);
  }
  const copies = new Map(own.map(({ rid, values }) => [rid, values.copied_from]));
  const find = (key: string): FoodRow | null => rows.get(key) ?? null;
  return {
    tables,
    food: find,
    kind: (key) => find(copies.get(key) ?? key),
    name: foodNames(tables, own),
    known_per_100g: least,
  };
}

const LARGER: Readonly<Record<string, string>> = { mg: 'g', µg: 'mg' };

/** 4800 mg are shown as 4.8 g: a figure of four digits is hard to compare at a glance. */
export function shownIn(
  unit: string,
  values: readonly (number | null)[],
): { readonly unit: string; readonly scale: number } {
  const larger = LARGER[unit];
  const most = Math.max(0, ...values.filter((value) => value !== null));
  return larger !== undefined && most >= 1000 ? { unit: larger, scale: 1000 } : { unit, scale: 1 };
}

/** Why a reading is unknown, where it is the range that crosses a limit. */
function doubtOf({ best, may_fall_short, may_exceed }: Judgement): string | undefined {
  if (best === null) return undefined;
  if (may_fall_short && may_exceed) return 'may be short, may be over';
  if (may_exceed) return 'may be over';
  return may_fall_short ? 'may be short' : undefined;
}

interface Judging {
  readonly tables: Tables;
  readonly total: Totals;
  readonly yardsticks: readonly Yardstick[];
  readonly own: Targets;
  readonly table: Targets;
}

/** "12 to 20", the range the table prints, where the dog's own differs from it. */
function tableRange(judging: Judging, nutrient: string, scale: number): Reading | undefined {
  const [own, table] = [judging.own.limits[nutrient], judging.table.limits[nutrient]];
  if (own === undefined || table === undefined) return undefined;
  const shown = (value: number | null): number | null => (value === null ? null : value / scale);
  const minimum = table.recommended ?? table.minimum;
  if (minimum === (own.recommended ?? own.minimum) && table.maximum === own.maximum)
    return undefined;
  return { known: null, best: null, minimum: shown(minimum), maximum: shown(table.maximum) };
}

function nutrientRow(judging: Judging, judged: Judgement): CheckRow[] {
  const { tables, yardsticks, own } = judging;
  const { nutrient, minimum, maximum, known, best, word } = judged;
  const described = tables.nutrients.find((each) => each.key === nutrient);
  if (described === undefined) return [];
  const { unit, scale } = shownIn(described.unit, [minimum ?? maximum]);
  const shown = (value: number | null): number | null => (value === null ? null : value / scale);
  const form = own.limits[nutrient]?.form;
  return [
    {
      nutrient,
      name: described.name,
      word,
      reading: {
        known: shown(known),
        best: shown(best),
        minimum: shown(minimum),
        maximum: shown(maximum),
      },
      unit,
      decimals: scale === 1 ? described.decimals : Math.max(2, described.decimals),
      scale,
      sources: sourceLines(tables, yardsticks, nutrient),
      doubt: doubtOf(judged),
      table: tableRange(judging, nutrient, scale),
      makers: [nutrient],
      note: form?.note,
    },
  ];
}

const RATIO_MAKERS: Readonly<Record<string, readonly string[]>> = {
  calcium_to_phosphorus: ['calcium', 'phosphorus'],
};

function ratioName(tables: Tables, key: string): string {
  const other = tables.ratios.others?.find((row) => row.key === key);
  return other?.name ?? 'Calcium to phosphorus';
}

function ratioMakers(tables: Tables, key: string): readonly string[] {
  const other = tables.ratios.others?.find((row) => row.key === key);
  return other ? [...other.top, ...other.bottom] : (RATIO_MAKERS[key] ?? []);
}

function ratioRow(judging: Judging, judged: RatioJudgement): CheckRow[] {
  const { tables } = judging;
  const { key, known, lowest, highest, minimum, maximum, word, source } = judged;
  if (word === null || (known === null && highest === null && word === 'unknown')) return [];
  return [
    {
      nutrient: key,
      name: ratioName(tables, key),
      word,
      reading: {
        known: word === 'over' ? (lowest ?? known) : (known ?? lowest),
        best: word === 'unknown' ? highest : null,
        minimum,
        maximum,
      },
      unit: 'to 1',
      decimals: 2,
      scale: 1,
      sources: [sourceWords(tables.sources, source)],
      makers: ratioMakers(tables, key),
    },
  ];
}

function unjudged(judging: Judging): UnjudgedRow[] {
  const { tables, total, own } = judging;
  const nutrients = notCompared(total, own).flatMap(({ nutrient, known, form }) => {
    const described = tables.nutrients.find((each) => each.key === nutrient);
    if (described === undefined) return [];
    const figure = known === null ? '?' : shortFigure(known, described.decimals);
    return [
      {
        key: nutrient,
        name: described.name,
        figure: known === null ? figure : `${figure} ${described.unit}`,
        why: `Not compared. ${form.note}`,
        sources: [sourceWords(tables.sources, form.source, form.locator)],
        makers: [nutrient],
      },
    ];
  });
  const ratios = judgeRatios(tables, total, own).flatMap(({ key, lowest, highest, word }) => {
    if (word !== null) return [];
    const ends = [lowest, highest].map((end) => (end === null ? '?' : shortFigure(end, 1)));
    const range = ends[0] === ends[1] ? ends[0] : ends.join(' to ');
    return [
      {
        key,
        name: ratioName(tables, key),
        figure: lowest === null && highest === null ? '?' : `${range} : 1`,
        why: 'No published limit used.',
        sources: [],
        makers: ratioMakers(tables, key),
      },
    ];
  });
  return [...nutrients, ...ratios];
}

function excessLines({ tables, total, own }: Judging): ExcessLine[] {
  return excesses(tables, total, own).flatMap((found) => {
    if (found.word !== 'over' && found.word !== 'may be over') return [];
    const described = tables.nutrients.find((each) => each.key === found.nutrient);
    if (described === undefined) return [];
    const { unit, scale } = shownIn(described.unit, [found.limit]);
    const figure = (value: number) => shortFigure(value / scale, 2);
    const least = found.least ?? 0;
    const most = found.most === null ? null : figure(found.most);
    const range =
      most === null || most === figure(least)
        ? `${figure(least)}${most === null ? ' or more' : ''}`
        : `${figure(least)} to ${most}`;
    const edition = tables.standards.find((each) => each.key === found.edition)?.name ?? '';
    return [
      {
        nutrient: found.nutrient,
        isSure: found.word === 'over',
        words:
          `${described.name}: ${range} ${unit}, the upper limit is ${figure(found.limit)} ${unit}` +
          (found.word === 'over' ? '' : ', so it may be over'),
        source: `${described.name}: ${edition}. ${sourceWords(tables.sources, found.source, found.locator)}${doubtWords(found.verified)}`,
      },
    ];
  });
}

const nothing: Verdict = {
  mass_g: 0,
  energy_kcal: 0,
  rows: [],
  unjudged: [],
  excess: [],
  passed: [],
  missing: [],
  totals: null,
  counted: [],
  own: [],
};

export interface Intake {
  /** What the one dog that is judged ate on an average day; null when that is not known. */
  readonly eaten_kcal_per_day?: number | null;
  /** Grams eaten of something whose foods nobody entered. */
  readonly unresolved_g?: number;
}

/** Judges portions of foods for the dogs that eat them; for a grown dog when none is chosen. */
export function verdict(
  kitchen: Kitchen,
  portions: readonly Portion[],
  eaters: readonly Eater[],
  { eaten_kcal_per_day, unresolved_g = 0 }: Intake = {},
): Verdict {
  const { tables } = kitchen;
  const passed = passedBy(kitchen, portions, eaters);
  const unknown = portions.filter(({ food }) => kitchen.food(food) === null);
  const missing = unknown.map(({ food }) => food);
  if (tables === null) return { ...nothing, missing };
  const counted = portions.flatMap(({ food, mass_g }) => {
    const row = kitchen.food(food);
    return row === null ? [] : [[row, mass_g] as const];
  });
  const total = totals(tables, counted);
  if (total.energy_kcal <= 0)
    return { ...nothing, mass_g: total.mass_g, passed, missing, totals: total, counted };
  const unknown_g = unknown.reduce((sum, { mass_g }) => sum + mass_g, unresolved_g);
  const asked = askedBy(tables, eaters, eaten_kcal_per_day ?? null);
  const { yardsticks } = asked;
  const judging: Judging = {
    tables,
    total,
    yardsticks,
    own: forDiet(tables, asked.own, total),
    table: asked.table,
  };
  const known_share = total.mass_g / (total.mass_g + unknown_g);
  return {
    mass_g: total.mass_g,
    energy_kcal: total.energy_kcal,
    rows: [
      ...judge(total, judging.own).flatMap((each) =>
        nutrientRow(judging, withDoubt(each, known_share)),
      ),
      ...judgeRatios(tables, total, judging.own).flatMap((each) =>
        ratioRow(judging, ratioWithDoubt(each, known_share)),
      ),
    ],
    unjudged: unjudged(judging),
    excess: excessLines(judging),
    passed,
    missing,
    totals: total,
    counted,
    own: ownLines(yardsticks),
  };
}

/** By what and for whom it is judged. */
export function yardstick(kitchen: Kitchen, eaters: readonly Eater[]): string {
  return yardstickWords(kitchen.tables, eaters);
}
