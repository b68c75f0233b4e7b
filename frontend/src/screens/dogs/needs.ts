/** What one dog needs, in the words and figures of its page. */
import { record, records, type Rec } from '../../db/store.svelte';
import { targets, type Targets } from '../../domain/adequacy';
import type { Requirement } from '../../domain/energy';
import { energyMethods, type Method, type MethodFacts } from '../../domain/energy-methods';
import type { Condition, Dog } from '../../domain/kinds';
import { forDog } from '../../domain/standards';
import type { SourceRow, StandardValue, Tables } from '../../domain/tables';
import { weightPlan, type WeightPlan } from '../../domain/weight-plan';
import { addDays } from '../../ui/days';
import { capital, fixed } from '../../ui/words';
import { reproductionOf, type Eater } from '../plan/eaters';
import { editionIn, shownIn } from '../plan/judged';
import { NOT_COMPARED, sourceWords } from '../stores/keeping';
import { mealsBetween, readTable, type Table } from '../today/table';
import type { MealRecord } from '../today/meals';

export interface NeedsPage {
  readonly dog: Rec<'dog'> | null;
  readonly condition: Rec<'condition'> | null;
  readonly muscle: Condition['mcs'] | null;
  readonly table: Table;
  readonly meals: readonly MealRecord[];
}

/** Days of meals from which a plan takes what the dog eats now. */
export const INTAKE_DAYS = 14;

/** The latest score, and the latest word on the muscle: each may be judged without the other. */
export function lastJudged(
  conditions: readonly Rec<'condition'>[],
): Pick<NeedsPage, 'condition' | 'muscle'> {
  const muscle = conditions.flatMap(({ values }) => values.mcs ?? []).at(-1);
  const condition = conditions.filter(({ values }) => typeof values.bcs === 'number').at(-1);
  return { condition: condition ?? null, muscle: muscle ?? null };
}

export async function readNeeds(rid: string, today: string): Promise<NeedsPage> {
  const [dog, conditions, table, meals] = await Promise.all([
    record('dog', rid),
    records('condition', { owner: rid }),
    readTable(today),
    // Before today, which is still being eaten.
    mealsBetween(addDays(today, -INTAKE_DAYS), addDays(today, -1)),
  ]);
  return { dog: dog && !dog.gone ? dog : null, ...lastJudged(conditions), table, meals };
}

/** What the published methods ask of a dog. */
export function factsOf(
  tables: Tables,
  dog: Dog,
  now: {
    readonly mass_g: number;
    readonly bcs: number | null;
    readonly eater: Eater;
    today: string;
  },
): MethodFacts {
  const { phase, week, pups } = reproductionOf(tables, dog, now.today);
  return {
    mass_kg: now.mass_g / 1000,
    age_days: now.eater.size.age_days ?? null,
    adult_mass_kg: now.eater.size.adult_mass_kg ?? null,
    neutered: dog.neutered ?? null,
    activity: dog.activity ?? null,
    condition_score: now.bcs,
    breed: dog.breed ?? null,
    phase,
    week,
    pups,
  };
}

const PUBLISHERS: Readonly<Record<string, string>> = {
  'nrc-2006': 'NRC 2006',
  'fediaf-2021': 'FEDIAF 2021',
  'aaha-2021': 'AAHA 2021',
  'aaha-2014': 'AAHA 2014',
  sacn5: 'Clinical nutrition handbook',
  'bermingham-2014': 'Bermingham 2014',
  'divol-2017': 'Divol 2017',
  'klein-2019': 'Klein 2019',
  'richardson-2010': 'Richardson 2010',
  'clinical-sheets': 'Sheets of clinics',
};

/** Who says so, short enough for a row. */
export function publisherOf(sources: Readonly<Record<string, SourceRow>>, key: string): string {
  return PUBLISHERS[key] ?? sources[key]?.title ?? key;
}

const MARKS: Readonly<Record<string, string>> = {
  read: 'read in the source',
  memory: NOT_COMPARED,
  computed: 'worked out from printed figures',
};

/** Who says so, in full: title, place, how it was checked. */
export function originWords(
  sources: Readonly<Record<string, SourceRow>>,
  row: { readonly source: string; readonly locator?: string; readonly verified: string },
): string {
  const mark = MARKS[row.verified] ?? row.verified;
  return `${sourceWords(sources, row.source, row.locator)}: ${mark}`;
}

export function rangeOf(low: number | null, high: number | null): string | null {
  if (low !== null && high !== null) {
    return low < high ? `${fixed(low, 0)} to ${fixed(high, 0)}` : null;
  }
  if (high !== null) return `${fixed(high, 0)} or less`;
  return low === null ? null : `${fixed(low, 0)} or more`;
}

export interface FigureRowValues {
  readonly key: string;
  readonly figure: string;
  readonly unit: string;
  readonly title: string;
  readonly detail: string | undefined;
  readonly sources: readonly string[];
  /** For the bar; null where nothing is drawn. */
  readonly value: number | null;
  readonly low: number | null;
  readonly high: number | null;
}

function methodRow(tables: Tables, method: Method): FigureRowValues {
  const { energy_kcal, low_kcal, high_kcal, fits, note } = method;
  const range = rangeOf(low_kcal, high_kcal);
  const parts = [
    fits === null ? 'if this describes the dog; something is not written down' : null,
    energy_kcal === null ? 'a figure it needs is not written down' : null,
    range,
  ].filter((part) => part !== null);
  return {
    key: method.key,
    figure: energy_kcal === null ? '?' : fixed(energy_kcal, 0),
    unit: energy_kcal === null ? '' : 'kcal',
    title: `${publisherOf(tables.sources, method.source)}: ${method.name.toLowerCase()}`,
    detail: parts.length > 0 ? capital(parts.join('; ')) : undefined,
    sources: [originWords(tables.sources, method), ...(note ? [capital(note)] : [])],
    value: energy_kcal,
    low: low_kcal,
    high: high_kcal,
  };
}

/** Every published method as a row, those that surely describe the dog first. */
export function methodRows(tables: Tables, facts: MethodFacts): FigureRowValues[] {
  const all = energyMethods(tables.energy, facts);
  const sure = all.filter((method) => method.fits === true);
  const perhaps = all.filter((method) => method.fits === null);
  return [...sure, ...perhaps].map((method) => methodRow(tables, method));
}

const REASONS: Readonly<Record<string, string>> = {
  vet: 'It is the figure of your vet, which goes before every reckoning.',
  maintenance:
    'It follows what the dog does in a day, how old it is, and whether it is neutered (FEDIAF 2021 and AAHA 2021 together).',
  growth_nrc:
    'It follows a puppy by its share of the weight it will have (NRC 2006). Pet puppies ate about a fifth less in one study: weigh, and follow the growth.',
  growth_factor:
    'The weight when grown is not written down, so only a multiple of the resting need can be given.',
  gestation: 'It follows the weeks since mating (NRC 2006).',
  lactation: 'It follows the week of suckling and the number of pups (NRC 2006).',
  lactation_factor:
    'Nobody wrote down how many pups there are, so it is the middle of a wide published range.',
};

export function reasonOf(need: Requirement): string {
  return REASONS[need.method] ?? '';
}

/** The table's targets and the dog's own. */
export interface BothTargets {
  readonly table: Targets;
  readonly own: Targets;
  readonly energy_kcal: number;
}

export function bothTargets(tables: Tables, eater: Eater): BothTargets | null {
  const need = eater.requirement;
  if (need === null) return null;
  const table = targets(tables, editionIn(tables), eater.stage, eater.size);
  const adult = eater.size.adult_mass_kg ?? null;
  const mass_kg = need.metabolic_mass_kg075 ** (4 / 3);
  const own = forDog(tables, table, {
    energy_kcal: need.energy_kcal,
    metabolic_mass_kg075: need.metabolic_mass_kg075,
    grown_share: adult === null ? null : mass_kg / adult,
  });
  return { table, own, energy_kcal: need.energy_kcal };
}

/** Why the dog's own figures are the table's, or denser. */
export function correctionWords(name: string, { own }: BothTargets): string {
  if (own.correction === 'denser') {
    return (
      `${name} needs less energy for the size than the table takes a dog to eat, so every 1000 kcal ` +
      `must hold ${fixed(own.factor, 2)} times as much. Ceilings are not raised.`
    );
  }
  if (own.correction === 'eats enough') {
    return `${name} needs the energy that the table takes a dog to eat, or more: its figures hold as printed.`;
  }
  return 'This yardstick prints no correction for a dog that eats little: its figures stand as printed.';
}

export function correctionSources(tables: Tables, { own }: BothTargets): string[] {
  const intake = tables.standards.find((each) => each.key === own.edition)?.intakes?.[own.stage];
  if (!intake || own.own_kcal_per_kg075 === null) return [];
  const assumed = own.assumed_kcal_per_kg075;
  const figures =
    assumed === null
      ? ''
      : ` Assumed here: ${fixed(assumed, 0)}; needed: ${fixed(own.own_kcal_per_kg075, 0)} kcal for each kg to the power 0.75.`;
  return [`${originWords(tables.sources, intake)}.${figures}`];
}

function least(row: StandardValue): number | null {
  return row.recommended ?? row.minimum;
}

export interface NutrientGroup {
  readonly title: string;
  readonly rows: readonly FigureRowValues[];
}

function nutrientRow(
  tables: Tables,
  both: BothTargets,
  nutrient: Tables['nutrients'][number],
): FigureRowValues[] {
  const [table, own] = [both.table.limits[nutrient.key], both.own.limits[nutrient.key]];
  if (!table || !own) return [];
  const [printed, minimum, maximum] = [least(table), least(own), own.maximum];
  const share = both.energy_kcal / 1000;
  const daily = minimum ?? maximum;
  if (daily === null) return [];
  const { unit, scale } = shownIn(nutrient.unit, [daily * share]);
  const decimals = scale === 1 ? nutrient.decimals : Math.max(2, nutrient.decimals);
  const figure = (amount: number) => fixed(amount / scale, decimals);
  const perEnergy =
    minimum === null || printed === null
      ? null
      : minimum === printed
        ? `${figure(minimum)} ${unit} per 1000 kcal`
        : `${figure(minimum)} ${unit} per 1000 kcal; the table’s own ${figure(printed)}`;
  const ceiling = maximum === null ? null : `at most ${figure(maximum * share)} ${unit} a day`;
  const kind = own.maximum_kind && maximum !== null ? [`The most: ${own.maximum_kind}`] : [];
  return [
    {
      key: nutrient.key,
      figure: minimum === null ? '–' : figure(minimum * share),
      unit: minimum === null ? '' : unit,
      title: nutrient.name,
      detail: capital([perEnergy, ceiling].filter((part) => part !== null).join('; ')),
      sources: [originWords(tables.sources, table), ...kind],
      value: null,
      low: null,
      high: null,
    },
  ];
}

/** The nutrients that the yardstick limits, per day, in the groups of the table. */
export function nutrientGroups(tables: Tables, both: BothTargets): NutrientGroup[] {
  const groups = new Map<string, FigureRowValues[]>();
  for (const nutrient of tables.nutrients) {
    const rows = nutrientRow(tables, both, nutrient);
    if (rows.length > 0)
      groups.set(nutrient.group, [...(groups.get(nutrient.group) ?? []), ...rows]);
  }
  return [...groups].map(([title, rows]) => ({
    title: title === 'proximates' ? 'Protein and fat' : capital(title),
    rows,
  }));
}

export function planOf(
  tables: Tables,
  dog: Dog,
  known: {
    readonly eater: Eater;
    readonly mass_g: number;
    readonly condition: Rec<'condition'> | null;
    readonly muscle: Condition['mcs'] | null;
    readonly intake_kcal: number | null;
  },
): WeightPlan | null {
  const need = known.eater.requirement;
  if (need === null) return null;
  return weightPlan(tables.energy, known.mass_g / 1000, {
    condition_score: known.condition?.values.bcs ?? null,
    // A vet's figure may be a plan already: the start is reckoned from what the tables say.
    maintenance_kcal:
      need.method === 'vet'
        ? (need.alternatives[0]?.energy_kcal ?? need.energy_kcal)
        : need.energy_kcal,
    intake_kcal: known.intake_kcal,
    age_band: need.age_band,
    is_breeding: need.phase !== null,
    muscle: known.muscle,
    is_agreed_with_vet: dog.weight_plan?.agreed_with_vet === true,
  });
}

const STARTS: Readonly<Record<string, string>> = {
  intake: 'four fifths of what is eaten now',
  resting_2014: 'four fifths of the resting need at the ideal weight',
  resting_2021: 'the resting need at the ideal weight',
  maintenance: 'six tenths of the need now',
  measured: 'what dogs ate that lost weight over twelve weeks',
  gain: '1.2 to 1.8 times the resting need at the ideal weight',
};

export function startRows(tables: Tables, plan: WeightPlan): FigureRowValues[] {
  return plan.starts.map((start) => ({
    key: start.method,
    figure: fixed(start.energy_kcal, 0),
    unit: 'kcal',
    title: `${publisherOf(tables.sources, start.source)}: ${STARTS[start.method] ?? start.method}`,
    detail: rangeOf(start.low_kcal, start.high_kcal) ?? undefined,
    sources: [originWords(tables.sources, start)],
    value: start.energy_kcal,
    low: start.low_kcal,
    high: start.high_kcal,
  }));
}

const WHY_NOT: Readonly<Record<string, string>> = {
  'no score': 'Nobody has judged the body condition yet. Judge it on the dog’s page first.',
  growing:
    'No weight plan for a growing dog: scores of condition are not reliable in puppies, and too little food does harm. Ask your vet.',
  breeding: 'No weight plan in whelp or while suckling. Ask your vet.',
  old: 'An old dog is put on a weight plan only with a vet: a loss may be an illness, and muscle goes first. Agree a plan, write it down here, and the figures appear.',
  muscle:
    'Muscle was lost. A vet has to look first; agree a plan, write it down here, and the figures appear.',
  thin: 'This dog is very thin. Ring the vet before feeding more: thinness may be an illness.',
};

export function whyNotWords(plan: WeightPlan): string | null {
  return plan.why_not === '' ? null : (WHY_NOT[plan.why_not] ?? null);
}
