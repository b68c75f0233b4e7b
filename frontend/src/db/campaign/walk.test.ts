/**
 * Random runs of the phone's core against the model server, every fault mixed with every other.
 *
 * A failing run is shrunk and printed with its seed; TRENCHER_SYNC_SEED runs one again, and
 * TRENCHER_SYNC_EXAMPLES asks for more of them.
 */

import fc from 'fast-check';
import { afterEach, expect, test, vi } from 'vitest';
import { WEIGHTS, type Kind, type Step } from './steps.ts';
import { walk } from './walk.ts';

const EXAMPLES = 40;
const LONGEST_RUN = 45;
/** Far beyond what any machine needs: a run that hangs should say so. */
const GIVE_UP_MS = 3_600_000;

interface Process {
  env: Record<string, string | undefined>;
}

const { env } = (globalThis as unknown as { process: Process }).process;
const numRuns = Number(env['TRENCHER_SYNC_EXAMPLES'] ?? EXAMPLES);
const seed = Number(env['TRENCHER_SYNC_SEED'] ?? Math.floor(Math.random() * 2 ** 31));

/** Once a server was restored or a phone wiped, a value may stand beside one that had seen it. */
const LOSING: readonly Kind[] = ['wipe', 'restore a backup'];

const kinds = (Object.keys(WEIGHTS) as Kind[]).map((kind) => ({
  arbitrary: fc.constant(kind),
  weight: WEIGHTS[kind],
}));
const step: fc.Arbitrary<Step> = fc.tuple(fc.oneof(...kinds), fc.nat(2), fc.nat(99), fc.nat(99));
const run = fc.record({
  /** Every other run loses nothing, so that what was seen can be held against what stands there. */
  isCalm: fc.boolean(),
  phones: fc.integer({ min: 2, max: 3 }),
  pageSize: fc.constantFrom(1, 2, 9, 1000),
  steps: fc.array(step, { maxLength: LONGEST_RUN, size: 'max' }),
});

afterEach(() => {
  vi.useRealTimers();
});

test(
  `whatever comes between them, phones and server agree in the end and nothing is lost (seed ${String(seed)})`,
  async () => {
    await fc.assert(
      fc.asyncProperty(run, ({ isCalm, phones, pageSize, steps }) =>
        walk(phones, pageSize, isCalm ? steps.filter(([what]) => !LOSING.includes(what)) : steps),
      ),
      { numRuns, seed },
    );
    expect(numRuns).toBeGreaterThan(0);
  },
  GIVE_UP_MS,
);
