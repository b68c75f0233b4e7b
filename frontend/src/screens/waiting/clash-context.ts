/** Whose and which record a disagreement is about, read from the store. */
import { namesFor, record, type LostRow, type Rec } from '../../db/store.svelte';
import type { Naming } from '../../db/words';
import type { Entity, Meal, Serving } from '../../domain/kinds';
import { dayOf, dayWords } from '../../ui/days';
import { capital } from '../../ui/words';
import { today, zone } from '../plan/here.svelte';

async function dogName(rid: unknown): Promise<string> {
  const dog = typeof rid === 'string' ? await record('dog', rid) : undefined;
  return dog?.values.name ?? '';
}

async function mealWords(rid: string): Promise<string> {
  const meal = await record('meal', rid);
  return meal ? mealOf(meal.values) : '';
}

async function mealOf(meal: Meal): Promise<string> {
  const mealtime = meal.mealtime ? await record('mealtime', meal.mealtime) : undefined;
  const name = meal.name ?? mealtime?.values.name ?? 'meal';
  return `${name.toLowerCase()} ${dayWords(meal.day, today())}`;
}

/** "Pascoe, Mon supper": as much as this phone knows of the record. */
export async function aboutOf(rec: Pick<Rec, 'entity' | 'values'>): Promise<string> {
  const values = rec.values as unknown as Record<string, unknown>;
  const parts: string[] = [];
  if (rec.entity === 'serving') {
    const serving = rec.values as Serving;
    parts.push(await dogName(serving.dog), await mealWords(serving.meal));
  } else if (rec.entity === 'meal') parts.push(await mealOf(rec.values as Meal));
  else {
    if (typeof values['name'] === 'string') parts.push(values['name']);
    parts.push(await dogName(values['dog']));
    if (typeof values['at'] === 'string')
      parts.push(dayWords(dayOf(values['at'], zone()), today()));
  }
  return capital(parts.filter((part) => part !== '').join(', '));
}

/** Names for what a record and the other accounts of it mention. */
export function namingOf({ rid, entity, values, also }: Rec): Promise<Naming> {
  const others = Object.entries(also).flatMap(([register, answers]) =>
    answers.map(({ value }) => ({ rid, entity, values: { [register]: value } })),
  );
  return namesFor([{ rid, entity, values: { ...values } }, ...others]);
}

/** The same for a record that only this phone still knows. */
export async function aboutLost({
  rid,
  entity,
  row,
}: LostRow): Promise<{ about: string; naming: Naming }> {
  const about = await aboutOf({ entity: entity as Entity, values: row.values });
  return { about, naming: await namesFor([{ rid, entity, values: row.values }]) };
}
