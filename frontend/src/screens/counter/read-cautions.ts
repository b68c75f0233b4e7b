/** Which cautions of a batch are still to be read: each is shown once per batch, to whoever is first. */
import type { Batch } from '../../domain/kinds';
import type { CautionRow } from '../../domain/tables';

type Noted = NonNullable<Batch['cautions']>;

const SET_ASIDE = 'set aside: ';

/** What is noted of a caution that was put away without a tick. */
export function setAside(caution: CautionRow): string {
  return SET_ASIDE + caution.key;
}

/** The cautions that nobody has ticked or set aside for this batch. */
export function unread(cautions: readonly CautionRow[], noted: Batch['cautions']): CautionRow[] {
  const known = new Set((noted ?? []).map(({ what }) => what));
  return cautions.filter((each) => !known.has(each.key) && !known.has(setAside(each)));
}

/** What a batch notes after some were ticked or set aside. */
export function withRead(noted: Batch['cautions'], read: readonly string[], at: string): Noted {
  return [...(noted ?? []), ...read.map((what) => ({ what, at }))];
}
