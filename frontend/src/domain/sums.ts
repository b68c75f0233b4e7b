/** The paired nutrients (EPA and DHA, ...) of foods whose parts are known or bounded. */

export type Amounts = Readonly<Record<string, number>>;

export const SUMS: Readonly<Record<string, readonly [string, string]>> = {
  methionine_cystine: ['methionine', 'cystine'],
  phenylalanine_tyrosine: ['phenylalanine', 'tyrosine'],
  epa_dha: ['epa', 'dha'],
};

export interface Bounded {
  readonly values: Record<string, number>;
  readonly low: Record<string, number>;
  readonly high: Record<string, number>;
}

const present = (amounts: readonly (number | undefined)[]): number[] =>
  amounts.filter((amount): amount is number => amount !== undefined);

export const sum = (values: readonly number[]): number =>
  values.reduce((all, each) => all + each, 0);

/**
 * Values and bounds with the pairs worked out: known with both parts, at least the one part that
 * is known otherwise. The same rule as the server's.
 */
export function withSums(values: Amounts, low: Amounts, high: Amounts, upper: Amounts): Bounded {
  const made: Bounded = { values: { ...values }, low: { ...low }, high: { ...high } };
  for (const [pair, parts] of Object.entries(SUMS)) {
    if (pair in made.values) continue;
    const known = present(parts.map((part) => values[part]));
    const least = present(parts.map((part) => low[part] ?? values[part]));
    const most = present(parts.map((part) => high[part] ?? values[part] ?? upper[part]));
    const isBounded = parts.some((part) => part in low);
    const isHalfKnown = known.length > 0 && known.length < parts.length;
    if (known.length === parts.length) made.values[pair] = sum(known);
    if (isBounded || isHalfKnown) made.low[pair] = sum(least);
    const needsMost = !(pair in made.values) || parts.some((part) => part in high);
    if (needsMost && most.length === parts.length) made.high[pair] = sum(most);
  }
  return made;
}

/** Bounds as a food carries them: left out when there are none. */
export function bounds({ low, high }: Pick<Bounded, 'low' | 'high'>): {
  low?: Amounts;
  high?: Amounts;
} {
  return {
    ...(Object.keys(low).length > 0 ? { low } : {}),
    ...(Object.keys(high).length > 0 ? { high } : {}),
  };
}
