/** One run: its steps, then everything healed and sent, then the checks. */

import { vi } from 'vitest';
import { dropped } from '../sync/queue.ts';
import { check, drain } from './invariants.ts';
import { play, type Step } from './steps.ts';
import { World } from './world.ts';

/** Ids by chance would make a run another one each time. */
function fixChance(): void {
  let state = 1;
  vi.spyOn(crypto, 'getRandomValues').mockImplementation((array) => {
    const bytes = new Uint8Array((array as Uint8Array).buffer);
    for (let at = 0; at < bytes.length; at += 1) {
      state = (Math.imul(state, 1_103_515_245) + 12_345) >>> 0;
      bytes[at] = state >>> 16;
    }
    return array;
  });
}

export async function walk(
  phones: number,
  pageSize: number,
  steps: readonly Step[],
): Promise<void> {
  vi.useFakeTimers({ toFake: ['Date'] });
  fixChance();
  // What the run before dropped: with chance fixed, its ids come again.
  dropped.clear();
  const world = await World.make(phones, pageSize);
  try {
    for (const each of steps) await play(world, each);
    await drain(world);
    await check(world);
  } finally {
    await world.end();
  }
}
