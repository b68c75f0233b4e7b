/** What is in a food, line by line, with what is known of each figure and where it comes from. */
import { isSupplement } from '../../domain/own-foods';
import type { Food } from '../../domain/kinds';
import type { FoodRow, NutrientRow, Provenance, Tables } from '../../domain/tables';
import { fixed, listed } from '../../ui/words';
import { howWords, sourceWords } from './keeping';

export interface CompositionLine {
  readonly key: string;
  readonly name: string;
  /** "1200", "at least 1.2", "11 to 18", or a dash. */
  readonly figure: string;
  readonly unit: string;
  /** "your own figure", "from the label"; nothing for the table's own. */
  readonly whose: string | null;
  /** Something can be said of it, were it only a bound. */
  readonly isKnown: boolean;
  /** Some of it is certainly there, or certainly none. */
  readonly counts: boolean;
}

export interface CompositionGroup {
  readonly name: string;
  readonly lines: readonly CompositionLine[];
}

const GROUPS: Readonly<Record<string, string>> = {
  proximates: 'Main contents',
  'amino acids': 'Amino acids',
  'fatty acids': 'Fatty acids',
  minerals: 'Minerals',
  'trace elements': 'Trace elements',
  vitamins: 'Vitamins',
};

const UNKNOWN = '–';

function figureOf(row: FoodRow, nutrient: NutrientRow): string {
  const shown = (amount: number): string => trimmed(amount, nutrient.decimals);
  const { [nutrient.key]: value } = row.v;
  const low = row.low?.[nutrient.key];
  const high = row.high?.[nutrient.key];
  if (value !== undefined && low === undefined && high === undefined) return shown(value);
  if (value !== undefined || (low !== undefined && high !== undefined)) {
    return `${shown(low ?? value ?? 0)} to ${shown(high ?? value ?? 0)}`;
  }
  if (low !== undefined) return `at least ${shown(low)}`;
  return high === undefined ? UNKNOWN : `at most ${shown(high)}`;
}

/** Small amounts keep two figures that count: 0.003 mg is not 0.00. */
function trimmed(amount: number, decimals: number): string {
  const needed =
    amount > 0 && amount < 10 ** -decimals
      ? Math.min(6, 1 - Math.floor(Math.log10(amount)))
      : decimals;
  return fixed(amount, needed);
}

function whoseOf(food: Food | null, key: string): string | null {
  if (food === null) return null;
  if (food.nutrients_per_100g != null && key in food.nutrients_per_100g) return 'your own figure';
  return food.lines?.some((line) => line.nutrient === key) ? 'from the label' : null;
}

/** The composition in the table's groups; figures nobody knows stay in, as a dash. */
export function compositionOf(tables: Tables, row: FoodRow, food: Food | null): CompositionGroup[] {
  const groups = new Map<string, CompositionLine[]>();
  const isListed =
    food !== null && isSupplement(food)
      ? (key: string): boolean => key in row.v || key in (row.low ?? {})
      : null;
  for (const nutrient of tables.nutrients) {
    const figure = figureOf(row, nutrient);
    // What a supplement does not list is bounded for the sums only: on the page it is not listed.
    if (isListed !== null && !isListed(nutrient.key)) continue;
    const line: CompositionLine = {
      key: nutrient.key,
      name: nutrient.name,
      figure,
      unit: nutrient.unit,
      whose: whoseOf(food, nutrient.key),
      isKnown: figure !== UNKNOWN,
      counts: nutrient.key in row.v || nutrient.key in (row.low ?? {}),
    };
    const lines = groups.get(nutrient.group);
    if (lines === undefined) groups.set(nutrient.group, [line]);
    else lines.push(line);
  }
  return [...groups].map(([key, lines]) => ({ name: GROUPS[key] ?? key, lines }));
}

/** The nutrients that share one origin, in the order of the table. */
function byOrigin(
  nutrients: readonly NutrientRow[],
  origins: Readonly<Record<string, Provenance>> = {},
): { origin: Provenance; names: string[] }[] {
  const found = new Map<string, { origin: Provenance; names: string[] }>();
  for (const { key, name } of nutrients) {
    const origin = origins[key];
    if (origin === undefined) continue;
    const same = found.get(JSON.stringify(origin));
    if (same) same.names.push(name);
    else found.set(JSON.stringify(origin), { origin, names: [name] });
  }
  return [...found.values()];
}

/** Who gives each figure of a table's food: its own record first, then what others lent to it. */
export function sourcesOf(tables: Tables, row: FoodRow): string[] {
  const { nutrients, sources } = tables;
  const said = ([source, locator, how]: Provenance): string =>
    `${sourceWords(sources, source, locator)}${howWords(how)}`;
  const lines = (what: string, origins: FoodRow['from']): string[] =>
    byOrigin(nutrients, origins).map(
      ({ origin, names }) => `${what}${listed(names)}: ${said(origin)}`,
    );
  // "usda-sr28: NDB 05048 refuse", or the words of who weighed it.
  const boneWords = (origin: string): string => {
    const [key, locator] = origin.split(': ');
    return key !== undefined && key in sources ? sourceWords(sources, key, locator) : origin;
  };
  return [
    said([row.source, row.locator, row.verified ?? 'read']),
    ...(row.bone_source ? [`Share of bone: ${boneWords(row.bone_source)}`] : []),
    ...lines('', row.from),
    ...lines('Range of ', row.range_from),
  ];
}

/** How the energy was found, and how far it may be off where bone is in it. */
export function energyNote(row: FoodRow, method: string): string {
  const [least, most] = row.energy_range ?? [0, 0];
  const range =
    row.energy_range === undefined
      ? ''
      : `; ${fixed(least, 0)} to ${fixed(most, 0)} by how much of the bone is digested`;
  return `per 100 g, ${method}${range}`;
}

/** How many of the figures that are counted a food has. */
export function completeness(
  tables: Pick<Tables, 'nutrients'>,
  row: FoodRow,
): { known: number; of: number } {
  return {
    known: tables.nutrients.filter(({ key }) => key in row.v).length,
    of: tables.nutrients.length,
  };
}

/** What kind of own food it is, in words. */
export function ownKindWords(food: Food): string {
  if (food.copied_from != null) return 'Your own of a table’s food';
  if (isSupplement(food)) return 'A supplement, from its label';
  return food.label == null ? 'Written down by you' : 'From its label';
}

export const STYLE_WORDS = {
  dry: 'Dry',
  treat: 'Treat',
  wet: 'Tin or tray',
  cooked: 'Cooked',
  raw: 'Raw',
} as const;

/** What one measure of it holds, for those nutrients that are known: "15 mg". */
export function perServing(
  tables: Pick<Tables, 'nutrients'>,
  row: FoodRow,
  mass_g: number,
): { name: string; amount: string }[] {
  return tables.nutrients.flatMap(({ key, name, unit, decimals }) => {
    const value = row.v[key];
    if (value === undefined || value === 0) return [];
    const amount = (value * mass_g) / 100;
    return [{ name, amount: `${trimmed(amount, Math.max(decimals, 1))} ${unit}` }];
  });
}
