/**
 * Finding a food by what people call it, and stopping at those that hurt a dog.
 *
 * A search compares whole words from their beginning, without accents or capitals, so that "hea"
 * finds "Lamb heart" and "Chicken hearts" but not "wheat".
 */

export interface FoodChoice {
  /** Key of the food table, or the rid of a food of the household. */
  readonly key: string;
  readonly name: string;
  /** What else people call it. */
  readonly synonyms: readonly string[];
  /** "offal", "dry food": the second line of the entry. */
  readonly group: string;
  readonly style: 'raw' | 'cooked' | 'dry' | 'treat';
  readonly is_own: boolean;
  /** Grams in store; 0 when there is none. */
  readonly in_store_g: number;
}

export interface Hazard {
  readonly key: string;
  readonly name: string;
  readonly synonyms: readonly string[];
  readonly dose: string;
  readonly effect: string;
  readonly source: string;
  readonly severity: string;
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

/** All words of `wanted` in `words`, in a row and whole. */
function holdsPhrase(words: readonly string[], wanted: readonly string[]): boolean {
  if (wanted.length === 0) return false;
  return words.some((_, start) => wanted.every((word, index) => words[start + index] === word));
}

/** The hazards that a text names, whole words only: "onion soup" does, "union" does not. */
export function hazardsNamed(hazards: readonly Hazard[], text: string): Hazard[] {
  const words = wordsOf(text);
  return hazards.filter((hazard) =>
    [hazard.name, ...hazard.synonyms].some((name) => holdsPhrase(words, wordsOf(name))),
  );
}

/** The hazards that somebody is about to type: three letters of a name are enough to warn. */
export function hazardsTyped(hazards: readonly Hazard[], typed: string): Hazard[] {
  const text = wordsOf(typed).join(' ');
  if (text.length < 3) return [];
  const named = hazardsNamed(hazards, typed);
  const begun = hazards.filter((hazard) =>
    [hazard.name, ...hazard.synonyms].some((name) => wordsOf(name).join(' ').startsWith(text)),
  );
  return [...named, ...begun.filter((hazard) => !named.includes(hazard))];
}
