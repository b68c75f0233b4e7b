/**
 * Finding a food by what people call it, and stopping at those that hurt a dog.
 */
import { indexOf, search as searchIn, wordsOf, type Entry, type Index } from '../../domain/search';
import type { HazardRow } from '../../domain/tables';

export interface FoodChoice extends Entry {
  /** "Offal", "dry food": the second line of the entry. */
  readonly shown_group: string;
  readonly style: 'raw' | 'cooked' | 'dry' | 'treat' | 'wet';
  /** Grams in store; 0 when there is none. */
  readonly in_store_g: number;
  /** How many of the nutrients that are counted have a figure; null when nobody knows yet. */
  readonly known: { readonly known: number; readonly of: number } | null;
}

/** The words of the foods, split once and searched at every letter. */
export function findable(foods: readonly FoodChoice[]): Index<FoodChoice> {
  return indexOf(foods);
}

/** The foods that answer to what was typed, the best first. */
export function search(index: Index<FoodChoice>, typed: string): FoodChoice[] {
  return searchIn(index, typed).map(({ entry }) => entry);
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
