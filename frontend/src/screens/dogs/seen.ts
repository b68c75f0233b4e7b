/** The timeline of a dog: what was eaten, seen, weighed and judged, newest first. */
import type { Rec } from '../../db/store.svelte';
import { CLOCK_AHEAD } from '../../domain/fold';
import { clockOf, dayOf, dayWords } from '../../ui/days';
import { bodyMass, foodMass, type Units } from '../../ui/words';
import { mealName, type MealRecord } from '../today/meals';
import {
  appetiteTitle,
  eatenWords,
  muscleSteps,
  observationDetail,
  observationTitle,
} from './observations';

export type Opens =
  | { readonly kind: 'weighing'; readonly rec: Rec<'weighing'> }
  | { readonly kind: 'condition'; readonly rec: Rec<'condition'> }
  | { readonly kind: 'observation'; readonly rec: Rec<'observation'> }
  | { readonly kind: 'meal'; readonly day: string; readonly mealtime: string | null };

export interface SeenRow {
  readonly key: string;
  readonly at: string;
  readonly day: string;
  readonly time: string;
  readonly title: string;
  readonly detail: string | undefined;
  /** The member who wrote it down. */
  readonly by: string | null;
  readonly opens: Opens;
}

export interface SeenInput {
  readonly weighings: readonly Rec<'weighing'>[];
  readonly conditions: readonly Rec<'condition'>[];
  readonly observations: readonly Rec<'observation'>[];
  readonly meals: readonly MealRecord[];
}

interface Reading {
  readonly dog: string;
  readonly today: string;
  readonly zone: string;
  readonly units: Units;
  readonly mealtimes: readonly Rec<'mealtime'>[];
}

function conditionTitle({ values }: Rec<'condition'>): string {
  const muscle = muscleSteps.find((step) => step.value === values.mcs)?.label.toLowerCase();
  const parts = [values.bcs ? `${values.bcs} of 9` : '', muscle ? `muscle ${muscle}` : ''];
  return `Condition: ${parts.filter((part) => part !== '').join(', ')}`;
}

type Draft = Omit<SeenRow, 'day' | 'time'>;

/** What is said of a row, and that its time is doubtful where the phone's clock was ahead. */
function withDoubt(detail: string | null | undefined, ...recs: readonly Rec[]): string | undefined {
  const isDoubtful = recs.some((rec) => rec.flags.includes(CLOCK_AHEAD));
  const doubt = isDoubtful ? 'The clock of that phone was ahead: look at the time again.' : '';
  const words = [detail ?? '', doubt].filter((part) => part !== '').join('. ');
  return words === '' ? undefined : words;
}

function mealRows({ meal, servings }: MealRecord, { dog, units, mealtimes }: Reading): Draft[] {
  return servings
    .filter(({ values }) => values.dog === dog)
    .map((serving) => {
      const { values } = serving;
      const eaten = eatenWords(values, (grams) => foodMass(grams, units));
      const note = values.note ? `. ${values.note}` : '';
      return {
        key: serving.rid,
        at: meal.values.at,
        title: values.appetite ? appetiteTitle(values.appetite) : mealName(meal, mealtimes),
        detail: withDoubt(`${eaten}${note}`, serving, meal),
        by: serving.made_by,
        opens: {
          kind: 'meal',
          day: meal.values.day,
          mealtime: meal.values.mealtime ?? null,
        } as const,
      };
    });
}

/** All rows, newest first. */
export function seenRows(input: SeenInput, reading: Reading): SeenRow[] {
  const rows: Draft[] = [
    ...input.weighings.map((rec) => ({
      key: rec.rid,
      at: rec.values.at,
      title: `Weight: ${bodyMass(rec.values.mass_g, reading.units)}`,
      detail: withDoubt(rec.values.note, rec),
      by: rec.made_by,
      opens: { kind: 'weighing', rec } as const,
    })),
    ...input.conditions.map((rec) => ({
      key: rec.rid,
      at: rec.values.at,
      title: conditionTitle(rec),
      detail: withDoubt(rec.values.note, rec),
      by: rec.made_by,
      opens: { kind: 'condition', rec } as const,
    })),
    ...input.observations.map((rec) => ({
      key: rec.rid,
      at: rec.values.at,
      title: observationTitle(rec.values),
      detail: withDoubt(observationDetail(rec.values), rec),
      by: rec.made_by,
      opens: { kind: 'observation', rec } as const,
    })),
    ...input.meals.flatMap((meal) => mealRows(meal, reading)),
  ];
  return rows
    .sort((a, b) => b.at.localeCompare(a.at) || a.key.localeCompare(b.key))
    .map((row) => ({
      ...row,
      day: dayWords(dayOf(row.at, reading.zone), reading.today),
      time: clockOf(row.at, reading.zone),
    }));
}
