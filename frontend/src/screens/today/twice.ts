/**
 * Bowls that two phones took out of store, each from another lot.
 *
 * Both fed the same meal offline. The serving is one and the same, so that nothing is asked; but one
 * phone knew of a pack that had thawed, and the other took from the oldest lot.
 */
import { record, records } from '../../db/store.svelte';
import { sum } from '../../domain/sums';
import { daysAgo } from '../../ui/days';
import { mayWrite } from '../household/rights';
import { readShelves } from '../stores/larder';
import { settleServings } from './feed';

/** Our choice: longer than two phones of a household usually are apart. */
const LOOK_BACK_DAYS = 14;

async function takenTwice(): Promise<string[]> {
  const taken = new Map<string, number[]>();
  for (const { values } of await records('movement', { from: daysAgo(LOOK_BACK_DAYS) })) {
    const { serving, mass_g } = values;
    if (serving != null) taken.set(serving, [...(taken.get(serving) ?? []), mass_g]);
  }
  const found: string[] = [];
  for (const [rid, masses] of taken) {
    if (masses.length < 2) continue;
    const serving = await record('serving', rid);
    // Where its accounts differ a person is asked, and the answer settles it.
    if (!serving || serving.gone || Object.keys(serving.also).length > 0) continue;
    if (sum(masses) > Math.round(serving.values.offered_g)) found.push(rid);
  }
  return found;
}

/**
 * Takes such bowls out of store once. Every phone that has the same entries comes to the same
 * answer, so that it does not matter which of them does it, or whether all do.
 */
export async function settleTwice(): Promise<void> {
  if (!mayWrite('movement')) return;
  const found = await takenTwice();
  if (found.length > 0) await settleServings(found, await readShelves());
}
