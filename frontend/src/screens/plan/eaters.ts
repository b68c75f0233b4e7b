/** The dogs that eat a batch: what each needs in a day, and what its age asks of the food. */
import { records, recordsOf, type Rec } from '../../db/store.svelte';
import { requirement, type Requirement } from '../../domain/energy';
import type { DogSize } from '../../domain/adequacy';
import { InputError } from '../../domain/input-error';
import type { Dog } from '../../domain/kinds';
import { NOT_BREEDING, reproduction, type Reproduction } from '../../domain/reproduction';
import type { SourceRow, Stage, Tables } from '../../domain/tables';
import { daysAgo, daysBetween } from '../../ui/days';
import { countWord } from '../../ui/words';
import { doubtWords, sourceWords } from '../stores/keeping';
import type { Kitchen, Portion } from './judged';

export interface Dogs {
  readonly dogs: readonly Rec<'dog'>[];
  /** Those that are archived: what they ate still has their name. */
  readonly archived?: readonly Rec<'dog'>[];
  readonly latest: ReadonlyMap<string, Rec<'weighing'>>;
  readonly mealtimes: readonly Rec<'mealtime'>[];
}

export const noDogs: Dogs = { dogs: [], latest: new Map(), mealtimes: [] };

/** Most dogs were weighed within these days; of one that was not, all weighings are read. */
const LATELY_DAYS = 60;

/** The latest weighing of each dog, out of those of the last weeks where there is one. */
async function latestOf(dogs: readonly Rec<'dog'>[]): Promise<Map<string, Rec<'weighing'>>> {
  const lately = await records('weighing', { from: daysAgo(LATELY_DAYS) });
  // Oldest first, so that the last one set is the latest.
  const latest = new Map(lately.map((weighing) => [weighing.values.dog, weighing]));
  const others = dogs.filter(({ rid }) => !latest.has(rid)).map(({ rid }) => rid);
  for (const weighing of await recordsOf('weighing', new Set(others)))
    latest.set(weighing.values.dog, weighing);
  return latest;
}

/** Dogs that are not archived, and the latest weighing of every dog there is. */
export async function readDogs(): Promise<Dogs> {
  const [all, mealtimes] = await Promise.all([
    records('dog'),
    records('mealtime', { where: (mealtime) => mealtime.archived !== true }),
  ]);
  const dogs = all.filter(({ values }) => values.archived !== true);
  const archived = all.filter(({ values }) => values.archived === true);
  return { dogs, archived, latest: await latestOf(all), mealtimes };
}

export interface Eater {
  readonly rid: string;
  readonly name: string;
  readonly stage: Stage;
  readonly band: Requirement['age_band'];
  readonly energy_kcal_per_day: number | null;
  readonly requirement: Requirement | null;
  /** What chooses between the columns of an edition. */
  readonly size: DogSize;
  /** Weight now over the expected adult weight, 0 to 1; null when that is not known. */
  readonly grown_share: number | null;
  /** Why the need is not known, and what to do. */
  readonly why: string | null;
  /** Into how many meals the day's food goes. */
  readonly meals_per_day: number;
  /** Where the need comes from, one line each. */
  readonly sources: readonly string[];
  /** Keys of foods it may not have. */
  readonly may_not_have?: readonly string[];
  /** The most it may have of bone, liver, organs and fat. */
  readonly caps?: Dog['caps'];
}

/** Names of the dogs that may not have a food, or what it is a copy of. */
export function whoMayNotHave(
  eaters: readonly Eater[],
  food: string,
  { kind }: Pick<Kitchen, 'kind'>,
): string[] {
  const keys = [food, kind(food)?.key ?? food];
  return eaters
    .filter(({ may_not_have = [] }) => keys.some((key) => may_not_have.includes(key)))
    .map(({ name }) => name);
}

/** A food of a batch that some of its dogs may not have. */
export interface Barred {
  readonly food: string;
  readonly who: readonly string[];
}

export function barredIn(
  kitchen: Pick<Kitchen, 'kind'>,
  portions: readonly Portion[],
  eaters: readonly Eater[],
): Barred[] {
  return [...new Set(portions.map(({ food }) => food))].flatMap((food) => {
    const who = whoMayNotHave(eaters, food, kitchen);
    return who.length > 0 ? [{ food, who }] : [];
  });
}

export interface Moment {
  readonly today: string;
  readonly tables: Tables | null;
}

/**
 * How many mealtimes are for a dog, none for 0; one that names no dog is for all of them. The server
 * counts them alike (`meals_a_day`); fixtures/vectors/mealtimes.json proves it.
 */
export function mealsPerDay(mealtimes: readonly Rec<'mealtime'>[], dog: string): number {
  return mealtimes.filter(({ values }) => {
    const dogs = values.dogs ?? [];
    return dogs.length === 0 || dogs.includes(dog);
  }).length;
}

/** Our assumption: into so many meals the day's food goes where no mealtime is for the dog. */
const ASSUMED_MEALS = 2;

/** "twice a day", "taken as twice a day". */
export function mealsWords(mealtimes: readonly Rec<'mealtime'>[], dog: string): string {
  const meals = mealsPerDay(mealtimes, dog);
  if (meals === 0) return `taken as ${timesWords(ASSUMED_MEALS)}`;
  return timesWords(meals);
}

function timesWords(meals: number): string {
  if (meals === 1) return 'once a day';
  return meals === 2 ? 'twice a day' : `${countWord(meals)} times a day`;
}

const METHODS: Readonly<Record<string, string>> = {
  vet: 'the figure of your vet',
  maintenance: 'maintenance by activity and age',
  growth_nrc: 'the growth equation of NRC 2006',
  growth_klein: 'the growth equation of Klein 2019',
  growth_factor: 'a multiple of the resting need',
  gestation: 'gestation, by week',
  lactation: 'suckling, by week and pups',
  lactation_factor: 'a multiple of the resting need while suckling, pups not counted',
};

function needLine(
  name: string,
  found: Requirement,
  sources: Readonly<Record<string, SourceRow>>,
): string {
  const by = METHODS[found.method] ?? found.method;
  const range =
    found.low_kcal < found.high_kcal
      ? `, between ${Math.round(found.low_kcal)} and ${Math.round(found.high_kcal)}`
      : '';
  const source = found.method === 'vet' ? '' : `. ${sourceWords(sources, found.source)}`;
  const verified = doubtWords(found.verified);
  return `${name}: ${Math.round(found.energy_kcal)} kcal a day${range}, by ${by}${source}${verified}`;
}

/** Where a bitch stands between mating and weaning; nothing for any other dog. */
export function reproductionOf(tables: Tables, dog: Dog, today: string): Reproduction {
  const noted = dog.reproduction;
  if (!noted || dog.sex !== 'female' || dog.neutered !== false) return NOT_BREEDING;
  const since = (day: string | null | undefined) => (day ? daysBetween(day, today) : null);
  return reproduction(tables.energy, {
    days_since_mated: since(noted.mated_on),
    days_since_whelped: since(noted.whelped_on),
    days_since_weaned: since(noted.weaned_on),
    pups: noted.pups ?? null,
  });
}

function unknownEater(dog: Rec<'dog'>, meals_per_day: number, why: string): Eater {
  return {
    rid: dog.rid,
    name: dog.values.name,
    stage: 'adult',
    band: 'adult',
    energy_kcal_per_day: null,
    requirement: null,
    size: {},
    grown_share: null,
    why,
    meals_per_day,
    sources: [],
    may_not_have: dog.values.may_not_have ?? [],
    caps: dog.values.caps,
  };
}

/** One dog as an eater. */
export function eaterOf(all: Dogs, dog: Rec<'dog'>, { today, tables }: Moment): Eater {
  const meals = mealsPerDay(all.mealtimes, dog.rid) || ASSUMED_MEALS;
  const { name, born, adult_weight_g, neutered, activity, energy_vet } = dog.values;
  const mass_g = all.latest.get(dog.rid)?.values.mass_g;
  if (tables === null) return unknownEater(dog, meals, 'The tables are not on this phone yet.');
  if (mass_g === undefined) return unknownEater(dog, meals, `${name} was never weighed.`);
  try {
    const size = {
      age_days: born ? Math.max(0, daysBetween(born.date, today)) : null,
      adult_mass_kg: adult_weight_g ? adult_weight_g / 1000 : null,
    };
    const { phase, week, pups } = reproductionOf(tables, dog.values, today);
    const found = requirement(tables.energy, {
      mass_kg: mass_g / 1000,
      ...size,
      phase,
      week,
      pups,
      neutered: neutered ?? null,
      activity: activity ?? null,
      vet_kcal_per_day: energy_vet?.kcal_per_day ?? null,
    });
    return {
      rid: dog.rid,
      name,
      stage: found.stage,
      band: found.age_band,
      energy_kcal_per_day: found.energy_kcal,
      requirement: found,
      size,
      grown_share: adult_weight_g ? Math.min(1, mass_g / adult_weight_g) : null,
      why: null,
      meals_per_day: meals,
      sources: [needLine(name, found, tables.sources)],
      may_not_have: dog.values.may_not_have ?? [],
      caps: dog.values.caps,
    };
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    return unknownEater(dog, meals, error.message);
  }
}

/** The eaters among the dogs chosen, in the order of the household's dogs. */
export function eatersOf(all: Dogs, chosen: readonly string[], moment: Moment): Eater[] {
  return all.dogs.filter((dog) => chosen.includes(dog.rid)).map((dog) => eaterOf(all, dog, moment));
}
