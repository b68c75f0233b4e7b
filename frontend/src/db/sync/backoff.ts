/** How long to wait before the next try. */

const SHORTEST_MS = 1_000;
const LONGEST_MS = 60_000;

/**
 * A random wait between one second and a limit that doubles with every failure, up to a
 * minute (full jitter): phones that lost the server together do not return together.
 */
export function backoff_ms(failures: number, random: () => number = Math.random): number {
  const limit = Math.min(LONGEST_MS, SHORTEST_MS * 2 ** Math.min(failures, 10));
  return SHORTEST_MS + random() * (limit - SHORTEST_MS);
}
