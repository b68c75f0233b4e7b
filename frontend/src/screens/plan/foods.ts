/**
 * Finding a food by what people call it, and stopping at those that hurt a dog.
 *
 * A search compares whole words from their beginning, without accents or capitals, so that "hea"
 * finds "Lamb heart" and "Chicken hearts" but not "wheat".
 */
import type { HazardRow } from '../../domain/tables';

export interface FoodChoice {
  /** Key of the food table, or the rid of a food of the household. */
  readonly key: string;
  readonly name: string;
  /** What else people call it. */
  readonly synonyms: readonly string[];
  /** "offal", "dry food": the second line of the entry. */
  readonly group: string;
  readonly style: 'raw' | 'cooked' | 'dry' | 'treat' | 'wet';
  readonly is_own: boolean;
  /** Grams in store; 0 when there is none. */
  readonly in_store_g: number;
}

/** A word without the ending of an English plural; the same word always ends up the same. */
function singular(word: string): string {
  return word.endsWith('ies') ? `${word.slice(0, -3)}y` : word.replace(/([^s])s$/, '$1');
}

/** The words of a text, lower case, without accents, longer words in the singular. */
export function wordsOf(text: string): string[] {
  return text
    .normalize('NFD')
    .replace(/\p{M}/gu, '')
    .toLowerCase()
    .split(/[^a-z0-9]+/)
    .filter((word) => word !== '')
    .map((word) => (word.length > 3 ? singular(word) : word));
}

function startsWith(words: readonly string[], typed: string): boolean {
  return words.some((word) => word.startsWith(typed));
}

/** Whether every typed word begins a word of the text. */
export function matches(text: string, typed: string): boolean {
  const words = wordsOf(text);
  return wordsOf(typed).every((word) => startsWith(words, word));
}

function rank(food: FoodChoice, typed: string): number {
  const first = wordsOf(food.name)[0] ?? '';
  const wanted = wordsOf(typed)[0] ?? '';
  const begins = wanted !== '' && first.startsWith(wanted) ? 0 : 1;
  return (food.in_store_g > 0 ? 0 : 4) + (food.is_own ? 0 : 2) + begins;
}

/** The foods that answer to what was typed: what is in store first, then own foods, then names. */
export function search(foods: readonly FoodChoice[], typed: string): FoodChoice[] {
  return foods
    .filter((food) => matches([food.name, ...food.synonyms, food.group].join(' '), typed))
    .sort((a, b) => rank(a, typed) - rank(b, typed) || a.name.localeCompare(b.name));
}

/** Where all words of `wanted` stand in `words` in a row and whole; -1 when they do not. */
function phraseAt(words: readonly string[], wanted: readonly string[]): number {
  if (wanted.length === 0) return -1;
  return words.findIndex((_, start) =>
    wanted.every((word, index) => words[start + index] === word),
  );
}

/** The words without a phrase, wherever it stands. */
function without(words: readonly string[], phrase: readonly string[]): string[] {
  const start = phraseAt(words, phrase);
  if (start < 0) return [...words];
  return [...words.slice(0, start), ...without(words.slice(start + phrase.length), phrase)];
}

/**
 * The hazards that a text names, whole words only: "onion soup" does, "union" does not. Names that
 * are known to be harmless, such as "grape seed oil", are set aside first.
 */
export function hazardsNamed(hazards: readonly HazardRow[], text: string): HazardRow[] {
  return hazards.filter((hazard) => {
    const harmless = (hazard.not_names ?? []).map(wordsOf);
    const words = harmless.reduce(without, wordsOf(text));
    return hazard.synonyms.some((name) => phraseAt(words, wordsOf(name)) >= 0);
  });
}

/**
 * The hazards whose name begins with what was typed: three letters are enough. Only for when no
 * food answers to it, since "bee" begins beef as well as beer.
 */
export function hazardsBegun(hazards: readonly HazardRow[], typed: string): HazardRow[] {
  const text = wordsOf(typed).join(' ');
  if (text.length < 3) return [];
  return hazards.filter((hazard) =>
    hazard.synonyms.some((name) => wordsOf(name).join(' ').startsWith(text)),
  );
}

/** Whether a hazard forbids the food, or only asks for care. */
export function forbids(hazard: HazardRow): boolean {
  return hazard.severity === 'stop';
}
