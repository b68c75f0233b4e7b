// Appetite in words, worst to best, and the sentence that says what the strip draws.

export const appetiteWords = ['left_it', 'picked', 'slow', 'keen'] as const;
export type Appetite = (typeof appetiteWords)[number];

export const appetiteTitles: Readonly<Record<Appetite, string>> = {
  left_it: 'Left it',
  picked: 'Picked',
  slow: 'Slow',
  keen: 'Keen',
};

/** Options for a WordChoice, best first as they stand on the screen. */
export const appetiteOptions = [...appetiteWords]
  .reverse()
  .map((value) => ({ value, label: appetiteTitles[value] }));

export interface StripDay {
  readonly key: string;
  /** Letter under the day: "M". */
  readonly letter: string;
  readonly meals: readonly (Appetite | null)[];
}

/** "keen 9, slow 2, picked 3, nothing noted 2", leaving out what did not happen. */
export function stripWords(days: readonly StripDay[]): string {
  const meals = days.flatMap((day) => [...day.meals]);
  if (meals.length === 0) return 'No meals written down';
  const counts = [...appetiteWords].reverse().map((word) => ({
    words: appetiteTitles[word].toLowerCase(),
    count: meals.filter((meal) => meal === word).length,
  }));
  counts.push({ words: 'nothing noted', count: meals.filter((meal) => meal === null).length });
  return counts
    .filter(({ count }) => count > 0)
    .map(({ words, count }) => `${words} ${count}`)
    .join(', ');
}
