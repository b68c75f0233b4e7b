/** Whose and which record a disagreement is about, read from the store. */
import { record, type Rec } from '../../db/store.svelte';
import { inWords } from '../../db/words';
import { kinds } from '../../domain/declared';
import type { Meal, Serving } from '../../domain/kinds';
import { dayOf, dayWords, momentWords } from '../../ui/days';
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
export async function aboutOf(rec: Rec): Promise<string> {
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

/** A value by its declaration: "3 mm", "yes". */
export function valueWords(rec: Rec, register: string, value: unknown): string {
  if (register === 'at' && typeof value === 'string') return momentWords(value, today(), zone());
  const declared = kinds[rec.entity]?.registers[register];
  return declared ? inWords(declared, value, () => null) : JSON.stringify(value);
}
