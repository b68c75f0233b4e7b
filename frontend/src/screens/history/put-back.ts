/** Writes an earlier value again: an ordinary entry that has seen all that is on screen. */
import { edit, record, records, resolve, restore, transact, type Rec } from '../../db/store.svelte';
import { kinds } from '../../domain/declared';
import type { Entity, Movement } from '../../domain/kinds';
import { readShelves } from '../stores/larder';
import { settleServings } from '../today/feed';
import { settleAll } from '../waiting/settled';

/** A serving takes its food out of store by what it says; that has to follow. */
async function settled(rec: Rec, work: () => Promise<void>): Promise<void> {
  const larder = rec.entity === 'serving' ? await readShelves() : null;
  await transact(async () => {
    await work();
    if (larder) await settleServings([rec.rid], larder);
  });
}

/**
 * Sets a register of `rec`, as it was on screen, to an earlier value. Where people disagree
 * all their answers were on screen, so this settles it. Returns the record as it is then,
 * for the undo.
 */
export async function putValueBack(
  rec: Rec,
  register: string,
  value: unknown,
): Promise<Rec | undefined> {
  // Nobody had ever said it: an entry can say so only as null.
  const said = value ?? null;
  await settled(rec, () =>
    rec.also[register] === undefined
      ? edit(rec, { [register]: said })
      : resolve(rec, register as never, said),
  );
  return record(rec.entity, rec.rid);
}

/** What one tap took away lies no farther apart than this: each entry tells its own time. */
const ONE_DEED_MS = 1000;

/** What went with a record when it was taken away: what belongs to it, and what a lot gave it. */
async function wentWith(rec: Rec): Promise<Rec[]> {
  const owned = (Object.keys(kinds) as Entity[]).filter((entity) => kinds[entity]?.owner);
  const found: Rec[] = [];
  for (const entity of owned)
    found.push(...(await records(entity, { owner: rec.rid, gone: true })));
  if (rec.entity === 'lot') {
    const where = ({ into }: Movement): boolean => into === rec.rid;
    found.push(...(await records('movement', { gone: true, where })));
  }
  return found.filter(
    ({ gone, op_by, op_at }) =>
      gone && op_by === rec.op_by && Math.abs(op_at - rec.op_at) <= ONE_DEED_MS,
  );
}

/** Takes a deletion back, with all that went in it, and takes from store again what that had taken. */
export async function bringBack(rec: Rec): Promise<void> {
  const all = [rec, ...(await wentWith(rec))];
  const larder = await readShelves();
  await transact(async () => {
    for (const each of all) await restore(each);
    await settleAll(
      all.map(({ rid }) => rid),
      larder,
    );
  });
}
