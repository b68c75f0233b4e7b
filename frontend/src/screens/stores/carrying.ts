/** Carries the stock of lots and bags forward, so that old entries need not be read at each start. */
import { carry } from '../../db/carried';
import { records } from '../../db/store.svelte';
import { daysAgo } from '../../ui/days';
import { carriedFrom, carriedSums } from './larder';

/** What was entered for lately will be entered for again, which drops what was carried. */
const QUIET_DAYS = 7;

/** Does so for all that nothing was entered for lately. Quick where there is nothing to do. */
export async function carryForward(): Promise<void> {
  const from = daysAgo(QUIET_DAYS);
  const [lots, bags, movements, counts] = await Promise.all([
    records('lot'),
    records('bag'),
    records('movement', { from }),
    records('count', { from }),
  ]);
  const busy = new Set([...movements, ...counts].map(({ values }) => values.of));
  const quiet = [...lots, ...bags].filter((rec) => !busy.has(rec.rid) && !carriedSums(rec));
  await carry(
    quiet.map(({ rid }) => rid),
    carriedFrom,
  );
}
