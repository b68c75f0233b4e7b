/**
 * A week of one dog, from the records on this phone.
 *
 * It has the shape of the weekly summary, so that the page draws both alike. What needs a long
 * look back (the trend of the weight, alerts) is left to the summary: here it is null and empty,
 * never guessed.
 */
import type {
  AppetiteWord,
  StoolWord,
  SummaryAppetite,
  SummaryEnergy,
  SummaryMeal,
  SummaryStool,
  SummaryWeight,
} from '../../domain/summary';

export type Left =
  { readonly g?: number | null; readonly share?: number | null } | null | undefined;

export interface WeekServing {
  readonly day: string;
  readonly time: string;
  readonly offered_g: number;
  readonly left: Left;
  readonly appetite: AppetiteWord | null;
  /** Energy of what was served [kcal/g]; null when it is unknown. */
  readonly energy_kcal_per_g: number | null;
}

export interface WeekWeighing {
  readonly day: string;
  readonly at: string;
  readonly mass_g: number;
}

export interface WeekObservation {
  readonly day: string;
  readonly topic: string;
  readonly word: string | null;
  readonly flags: readonly string[];
}

/** Grams left in the bowl; nothing noted counts as an empty bowl. */
export function left_g(offered_g: number, left: Left): number {
  const mass_g = left?.g ?? (left?.share ?? 0) * offered_g;
  return Math.min(offered_g, Math.max(0, mass_g));
}

/** Grams eaten: offered less left. */
export function eaten_g(serving: Pick<WeekServing, 'offered_g' | 'left'>): number {
  return serving.offered_g - left_g(serving.offered_g, serving.left);
}

function sum<T>(rows: readonly T[], of: (row: T) => number): number {
  return rows.reduce((total, row) => total + of(row), 0);
}

/** The words people use for how a dog ate. */
export const APPETITE_WORDS: Record<AppetiteWord, string> = {
  keen: 'keen',
  slow: 'slow',
  picked: 'picked',
  left_it: 'left it',
};

const WORST_FIRST: readonly AppetiteWord[] = ['left_it', 'picked', 'slow'];

function appetiteSentence(counts: SummaryAppetite['counts'], meals: number): string {
  if (meals === 0) return 'No meal written down.';
  const said = meals - counts.not_said;
  if (said === 0) return `Nothing said about ${meals === 1 ? 'the meal' : `all ${meals} meals`}.`;
  const off = WORST_FIRST.filter((word) => counts[word] > 0).map(
    (word) => `${APPETITE_WORDS[word]} ${counts[word]}`,
  );
  const rest = counts.not_said > 0 ? `; nothing said about ${counts.not_said}` : '';
  if (off.length === 0)
    return said === 1
      ? `Keen at the one meal that has a word${rest}.`
      : `Keen at all ${said} meals that have a word${rest}.`;
  const words = off.join(', ');
  return `${words.charAt(0).toUpperCase()}${words.slice(1)}, of ${meals} meals${rest}.`;
}

/** How the dog ate, meal by meal, in the order of the clock. */
export function appetiteOf(servings: readonly WeekServing[]): SummaryAppetite {
  const counts = { keen: 0, slow: 0, picked: 0, left_it: 0, not_said: 0 };
  const meals: SummaryMeal[] = [...servings]
    .sort((a, b) => `${a.day} ${a.time}`.localeCompare(`${b.day} ${b.time}`))
    .map((serving) => ({ day: serving.day, time: serving.time, word: serving.appetite }));
  for (const meal of meals) counts[meal.word ?? 'not_said'] += 1;
  return { counts, meals, sentence: appetiteSentence(counts, meals.length) };
}

/** The words for stool, hard to liquid. */
export const STOOL_WORDS: readonly (readonly [StoolWord, string])[] = [
  ['dry_pellets', 'dry pellets'],
  ['firm', 'firm'],
  ['shaped_moist', 'shaped, moist'],
  ['soft_shaped', 'soft, shaped'],
  ['soft_heap', 'soft heap'],
  ['liquid', 'liquid'],
];

/** What was seen of the dog's stool. */
export function stoolOf(observations: readonly WeekObservation[]): SummaryStool {
  const stools = observations.filter((seen) => seen.topic === 'stool');
  const counts: Partial<Record<StoolWord, number>> = {};
  const flags: Record<string, number> = {};
  for (const [word] of STOOL_WORDS) {
    const count = stools.filter((seen) => seen.word === word).length;
    if (count > 0) counts[word] = count;
  }
  for (const flag of stools.flatMap((seen) => seen.flags)) flags[flag] = (flags[flag] ?? 0) + 1;
  const parts = STOOL_WORDS.filter(([word]) => counts[word] !== undefined).map(
    ([word, label]) => `${label} ${counts[word]}`,
  );
  const words = parts.join('; ');
  const sentence =
    parts.length === 0
      ? 'No stool written down.'
      : `${words.charAt(0).toUpperCase()}${words.slice(1)}.`;
  return { counts, flags, sentence };
}

/** Weight at the end of the week, against the last weighing before it. */
export function weightOf(
  weighings: readonly WeekWeighing[],
  week: { readonly from: string; readonly to: string },
): Omit<SummaryWeight, 'sentence'> {
  const sorted = [...weighings].sort((a, b) => a.at.localeCompare(b.at));
  const upToNow = sorted.filter((weighing) => weighing.day <= week.to);
  const latest = upToNow.at(-1);
  const before = sorted.filter((weighing) => weighing.day < week.from).at(-1);
  const isThisWeek = latest !== undefined && latest.day >= week.from;
  return {
    latest_g: latest?.mass_g ?? null,
    latest_at: latest?.at ?? null,
    change_g: isThisWeek && before ? latest.mass_g - before.mass_g : null,
    slope_pct_per_week: null,
    low: null,
    high: null,
    points: upToNow.map((weighing) => [weighing.day, weighing.mass_g] as const),
  };
}

/**
 * Energy eaten against the requirement, over the days that have a meal written down.
 *
 * When the energy of any of it is unknown, so is the total: the known part alone would read as a
 * dog that eats too little.
 *
 * @param required_kcal_per_day the dog's requirement [kcal/day], or null
 */
export function energyOf(
  servings: readonly WeekServing[],
  required_kcal_per_day: number | null,
): Omit<SummaryEnergy, 'sentence'> {
  const offered = sum(servings, (serving) => serving.offered_g);
  const eaten = sum(servings, eaten_g);
  const days = new Set(servings.map((serving) => serving.day)).size;
  const isKnown = servings.every((serving) => serving.energy_kcal_per_g !== null);
  const energy = sum(servings, (serving) => eaten_g(serving) * (serving.energy_kcal_per_g ?? 0));
  const perDay = days === 0 || !isKnown ? null : energy / days;
  const share = (rows: readonly WeekServing[]): number =>
    offered === 0 ? 0 : sum(rows, (serving) => serving.offered_g) / offered;
  return {
    eaten_kcal_per_day: perDay,
    required_kcal_per_day,
    share: perDay !== null && required_kcal_per_day ? perDay / required_kcal_per_day : null,
    assumed_share: share(servings.filter((serving) => serving.left == null)),
    unknown_share: share(servings.filter((serving) => serving.energy_kcal_per_g === null)),
    offered_g: offered,
    eaten_g: eaten,
  };
}
