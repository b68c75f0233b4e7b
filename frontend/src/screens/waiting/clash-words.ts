/** A disagreement between phones as a question with answers. */
import type { Rec } from '../../db/store.svelte';
import { kinds } from '../../domain/declared';
import type { Dog, Serving } from '../../domain/kinds';
import type { Alternative } from '../../domain/protocol';
import { appetiteTitles, type Appetite } from '../../ui/appetites';
import { bodyMass, capital, countWord, foodMass, type Units } from '../../ui/words';
import { eatenWords } from '../dogs/observations';

export interface Question {
  readonly key: string;
  readonly rec: Rec;
  readonly register: string;
  readonly title: string;
  /** Whose and which: "Pascoe, Monday supper". */
  readonly about: string;
  readonly answers: readonly Alternative[];
}

const nouns: Readonly<Record<string, string>> = {
  serving: 'meal',
  meal: 'meal',
  weigh_in: 'weighing',
  observation: 'thing seen',
};

/** What people call a record of this kind. */
export function nounOf(entity: string): string {
  return nouns[entity] ?? kinds[entity]?.label ?? 'entry';
}

/** One question a register on which people disagree; whether it stays is asked by itself. */
export function questionsOf(rec: Rec, about: string): Question[] {
  const registers = Object.entries(rec.also).filter(([register]) => register !== 'deleted');
  return registers.map(([register, answers]) => {
    const noun = nounOf(rec.entity);
    return {
      key: `${rec.rid} ${register}`,
      rec,
      register,
      title: `${capital(countWord(answers.length))} accounts of one ${noun}`,
      about: aboutWords(rec, register, about),
      answers,
    };
  });
}

/** Answers about a meal speak for themselves; elsewhere the register is named. */
function aboutWords(rec: Rec, register: string, about: string): string {
  if (rec.entity === 'serving' || rec.entity === 'meal') return about;
  const label = kinds[rec.entity]?.registers[register]?.label ?? register;
  return about === '' ? capital(label) : `${about}, ${label}`;
}

/** What to bear in mind before choosing; undefined where nothing hangs on it. */
export function hintOf({ rec, register }: Pick<Question, 'rec' | 'register'>): string | undefined {
  return rec.entity === 'meal' && register === 'at'
    ? 'Two people wrote this meal down. If both of you fed, write the second down as an extra.'
    : undefined;
}

/** One answer in words; `otherwise` says what has no words of its own here. */
export function answerWords(
  question: Pick<Question, 'rec' | 'register'>,
  value: unknown,
  units: Units,
  otherwise: (value: unknown) => string,
): string {
  const { rec, register } = question;
  if (value === null || value === undefined) return 'Nothing said';
  if (rec.entity === 'serving') {
    const serving = rec.values as Serving;
    if (register === 'left')
      return eatenWords({ offered_g: serving.offered_g, left: value }, (g) => foodMass(g, units));
    if (register === 'offered_g') return `Offered ${foodMass(value as number, units)}`;
    if (register === 'appetite') return appetiteTitles[value as Appetite];
  }
  if (register === 'adult_weight_g' || (rec.entity === 'weighing' && register === 'mass_g'))
    return bodyMass(value as NonNullable<Dog['adult_weight_g']>, units);
  if (register === 'mass_g') return foodMass(value as number, units);
  if (rec.entity === 'meal' && register === 'at') return `Fed ${otherwise(value)}`;
  return capital(otherwise(value));
}
