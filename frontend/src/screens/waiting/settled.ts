/** Decides about entries that wait, and brings the stores in line with it: all of it, or nothing. */
import { discardAll, record, resend, type Entry } from '../../db/store.svelte';
import { settlePutIn, type PutIn } from '../counter/put-in';
import { givenBack, readShelves, type Shelves, type Taking } from '../stores/larder';
import { settleServings } from '../today/feed';

/** What entries that are in force here have taken out of store. */
function takenBy(entries: readonly Entry[]): Taking[] {
  return entries.flatMap(({ entity, verb, refusal, set }) => {
    const { of, what, mass_g } = set;
    const isTaking = entity === 'movement' && verb === 'added' && refusal === null;
    return isTaking && what === 'used' && typeof of === 'string' && typeof mass_g === 'number'
      ? [{ of, mass_g }]
      : [];
  });
}

/** Servings that still wait for another entry are settled when that one is decided. */
async function settle(rids: Iterable<string>, larder: Shelves): Promise<void> {
  const decided = [];
  for (const rid of rids) if (!(await record('serving', rid))?.pending) decided.push(rid);
  await settleServings(decided, larder);
}

/** A food put into a batch by one of these entries, which took it out of store. */
function putInBy({ entity, verb, set }: Entry): PutIn | null {
  const { batch, food, at } = set;
  if (entity !== 'weigh_in' || verb !== 'added') return null;
  if (typeof batch !== 'string' || typeof food !== 'string' || typeof at !== 'string') return null;
  return { batch, food, at };
}

/** Drops entries; what a meal or a put-in among them had taken out of store goes back there. */
export async function throwAway(entries: readonly Entry[]): Promise<void> {
  const servings = new Set(
    entries.filter(({ entity }) => entity === 'serving').map(({ rid }) => rid),
  );
  const larder = givenBack(await readShelves(), takenBy(entries));
  await discardAll(entries, async () => {
    await settle(servings, larder);
    for (const entry of entries) {
      const putIn = putInBy(entry);
      if (putIn) await settlePutIn(entry.rid, putIn);
    }
  });
}

/** Meals and put-ins that came or went by a choice between two people's deeds. */
export async function settleAll(rids: readonly string[], larder: Shelves): Promise<void> {
  const servings = [];
  for (const rid of rids) {
    const weighIn = await record('weigh_in', rid);
    if (weighIn) await settlePutIn(rid, weighIn.values);
    else if (await record('serving', rid)) servings.push(rid);
  }
  await settleServings(servings, larder);
}

/** Sends an entry again with what was corrected; a meal then takes what it says now. */
export async function sendFixed(
  entry: Pick<Entry, 'op_id' | 'rid' | 'entity'>,
  changes: Record<string, unknown>,
): Promise<void> {
  const larder = entry.entity === 'serving' ? await readShelves() : null;
  await resend(entry, changes, async () => {
    if (larder) await settleServings([entry.rid], larder);
  });
}
