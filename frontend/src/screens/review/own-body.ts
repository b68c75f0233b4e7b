/** The body of a week worked out from this phone's own records, in the shape of the server's. */
import type { Rec } from '../../db/store.svelte';
import { judge, targets, withDoubt } from '../../domain/adequacy';
import { combined, scaled, totals, type Totals } from '../../domain/composition';
import { ownTargets } from '../../domain/own-targets';
import { judgeRatio } from '../../domain/ratios';
import { forDiet } from '../../domain/standards';
import type { SummaryAdequacy, SummaryBatch, SummaryBody } from '../../domain/summary';
import type { Tables } from '../../domain/tables';
import { clockOf, dayOf } from '../../ui/days';
import { capital, countWord, type Units } from '../../ui/words';
import { eaterOf, type Dogs, type Eater } from '../plan/eaters';
import { EDITION, editionIn, type Kitchen } from '../plan/judged';
import { appetiteOf, eaten_g, energyOf, stoolOf, weightOf, type WeekServing } from './own-summary';
import { energySentence, weightSentence } from './sentences';

export interface Asked {
  readonly week: string;
  readonly zone: string;
  readonly today: string;
  readonly tables: Tables | null;
  readonly units: Units;
}

/** The records of a week, and what is needed to read them. */
export interface Read {
  readonly asked: Asked;
  readonly days: { readonly from: string; readonly to: string };
  readonly all: Dogs;
  readonly kitchen: Kitchen;
  readonly meals: ReadonlyMap<string, Rec<'meal'>>;
  readonly servings: readonly Rec<'serving'>[];
  readonly weighings: readonly Rec<'weighing'>[];
  readonly observations: readonly Rec<'observation'>[];
  readonly batches: ReadonlyMap<string, Rec<'batch'>>;
  readonly weighIns: readonly Rec<'weigh_in'>[];
  readonly bags: ReadonlyMap<string, Rec<'bag'>>;
}

/** What a batch holds, and what it weighed when it was done. */
function batchTotals(read: Read, batch: string): { all: Totals; yield_g: number } | null {
  const { tables } = read.asked;
  const parts = read.weighIns.filter((putIn) => putIn.values.batch === batch);
  if (tables === null || parts.length === 0) return null;
  const portions = parts.map((putIn) => {
    const food = read.kitchen.food(putIn.values.food);
    return food === null ? null : ([food, putIn.values.mass_g] as const);
  });
  if (portions.some((portion) => portion === null)) return null;
  const all = totals(
    tables,
    portions.filter((portion) => portion !== null),
  );
  return { all, yield_g: read.batches.get(batch)?.values.yield_g ?? all.mass_g };
}

/** What one gram of what was served holds; null when it is not known. */
function perGram(read: Read, serving: Rec<'serving'>): Totals | null {
  const { tables } = read.asked;
  const { food, batch, bag } = serving.values.what;
  if (tables === null) return null;
  if (food) {
    const row = read.kitchen.food(food);
    return row === null ? null : totals(tables, [[row, 1]]);
  }
  const from = batch ?? (bag ? read.bags.get(bag)?.values.batch : null);
  const found = from ? batchTotals(read, from) : null;
  if (found === null || found.yield_g <= 0) return null;
  return scaled(tables, found.all, 1 / found.yield_g);
}

interface Fed {
  readonly serving: WeekServing;
  readonly per_g: Totals | null;
}

function fedOf(read: Read, dog: string): Fed[] {
  return read.servings
    .filter((serving) => serving.values.dog === dog)
    .flatMap((serving) => {
      const meal = read.meals.get(serving.values.meal);
      if (meal === undefined) return [];
      const per_g = perGram(read, serving);
      return [
        {
          per_g,
          serving: {
            day: meal.values.day,
            time: clockOf(meal.values.at, read.asked.zone),
            offered_g: serving.values.offered_g,
            left: serving.values.left ?? null,
            appetite: serving.values.appetite ?? null,
            energy_kcal_per_g: per_g?.energy_kcal ?? null,
          },
        },
      ];
    });
}

const noAdequacy = (
  tables: Tables | null,
  days: number,
  stage: string,
  sentence: string,
): SummaryAdequacy => ({
  days,
  edition: tables === null ? EDITION : editionIn(tables),
  stage,
  counts: { met: 0, short: 0, over: 0, unknown: 0 },
  not_met: [],
  calcium_to_phosphorus: null,
  sentence,
});

function adequacyOf(read: Read, eater: Eater, fed: readonly Fed[]): SummaryAdequacy {
  const { tables } = read.asked;
  const days = new Set(fed.map(({ serving }) => serving.day)).size;
  const known = fed.flatMap(({ serving, per_g }) => (per_g ? [{ serving, per_g }] : []));
  if (tables === null || known.length === 0) {
    return noAdequacy(
      tables,
      days,
      eater.stage,
      'Not known: nothing whose contents are known was fed.',
    );
  }
  const intake = combined(
    tables,
    known.map(({ serving, per_g }) => scaled(tables, per_g, eaten_g(serving))),
  );
  const edition = editionIn(tables);
  const own = ownTargets(
    tables,
    targets(tables, edition, eater.stage, eater.size),
    eater.requirement,
    {
      // What is only partly known does not say how much the food must hold.
      eaten_kcal_per_day: known.length === fed.length ? intake.energy_kcal / days : null,
      grown_share: eater.grown_share,
    },
  );
  const against = forDiet(tables, own, intake);
  const eatenOf_g = (rows: readonly Fed[]): number =>
    rows.reduce((sum, { serving }) => sum + eaten_g(serving), 0);
  const whole_g = eatenOf_g(fed);
  const known_share = whole_g > 0 ? eatenOf_g(known) / whole_g : 1;
  const judged = judge(intake, against).map((each) => withDoubt(each, known_share));
  const counts = { met: 0, short: 0, over: 0, unknown: 0 };
  for (const { word } of judged) counts[word] += 1;
  const left = fed.length - known.length;
  const rest =
    left > 0 ? ` ${capital(countWord(left))} of ${fed.length} servings not counted.` : '';
  return {
    days,
    edition,
    stage: eater.stage,
    counts,
    not_met: judged.flatMap((each) =>
      each.word === 'met'
        ? []
        : [
            {
              nutrient: each.nutrient,
              word: each.word,
              known: each.known,
              best: each.best,
              minimum: each.minimum,
              maximum: each.maximum,
              unit: tables.nutrients.find(({ key }) => key === each.nutrient)?.unit ?? '',
            },
          ],
    ),
    calcium_to_phosphorus: judgeRatio(intake, against).known,
    sentence: `Over ${days} ${days === 1 ? 'day' : 'days'} with meals written down.${rest}`,
  };
}

function batchesOf(read: Read): SummaryBatch[] {
  const { zone } = read.asked;
  return [...read.batches.values()].flatMap((batch) => {
    const { made_at, number, method, yield_g } = batch.values;
    if (!made_at) return [];
    const day = dayOf(made_at, zone);
    if (day < read.days.from || day > read.days.to) return [];
    return [{ rid: batch.rid, number: number ?? null, method, mass_g: yield_g ?? null, made_at }];
  });
}

/** The body of a week from this phone's own records, in the shape of the server's. */
export function ownBody(read: Read, dog: Rec<'dog'>): SummaryBody {
  const { week, zone, today, tables, units } = read.asked;
  const eater = eaterOf(read.all, dog, { today, tables });
  const fed = fedOf(read, dog.rid);
  const servings = fed.map(({ serving }) => serving);
  const weight = weightOf(
    read.weighings
      .filter((weighing) => weighing.values.dog === dog.rid)
      .map(({ values }) => ({
        day: dayOf(values.at, zone),
        at: values.at,
        mass_g: values.mass_g,
      })),
    read.days,
  );
  const energy = energyOf(servings, eater.energy_kcal_per_day);
  const seen = read.observations
    .filter((observation) => observation.values.dog === dog.rid)
    .map(({ values }) => ({
      day: dayOf(values.at, zone),
      topic: values.topic,
      word: values.word ?? null,
      flags: values.flags ?? [],
    }))
    .filter(({ day }) => day >= read.days.from && day <= read.days.to);
  return {
    week,
    ...read.days,
    dog: dog.rid,
    generated_at: new Date().toISOString(),
    weight: { ...weight, sentence: weightSentence(weight, today, units) },
    energy: { ...energy, sentence: energySentence(energy) },
    appetite: appetiteOf(servings),
    stool: stoolOf(seen),
    adequacy: adequacyOf(read, eater, fed),
    batches: batchesOf(read),
    alerts: [],
  };
}
