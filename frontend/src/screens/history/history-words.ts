/** A record's story in kitchen words. */
import type { Rec, RecordHistory } from '../../db/store.svelte';
import type { Naming } from '../../db/words';
import { kinds } from '../../domain/declared';
import type { Change, Step } from '../../domain/history';
import { validate } from '../../domain/validate';
import { sameValue } from '../../domain/canonical';
import { capital, listed } from '../../ui/words';
import { registerWords, valueWords, type Speech } from '../waiting/value-words';

export interface ChangeLine {
  readonly key: string;
  /** "Weight: from 16.2 kg to 16.4 kg". */
  readonly words: string;
  /** "At the same time Callum wrote 16.8 kg". */
  readonly beside: string | undefined;
  /** The value that could be put back, in words; undefined where it cannot or need not be. */
  readonly back: string | undefined;
  readonly register: string;
  readonly value: unknown;
}

const DID: Readonly<Record<Step['what'], string>> = {
  added: 'Written down',
  changed: 'Changed',
  settled: 'Settled',
  deleted: 'Taken away',
  'brought back': 'Brought back',
};

const NOTES: Readonly<Partial<Record<Step['deed']['state'], string>>> = {
  waiting: 'Not sent yet',
  refused: 'Refused by the server: it does not count',
  dropped: 'Thrown away on this phone: it does not count',
};

/** "Changed", "Thrown away on this phone". */
export function stepTitle(step: Step): string {
  return step.deed.state === 'partial' ? 'Last said' : DID[step.what];
}

/** What else is to be known of a step; `whom` names a member. */
export function stepNote({ deed }: Step, whom: (id: string) => string): string | undefined {
  const sent =
    deed.submitted_by !== null && deed.submitted_by !== deed.by
      ? `Sent by ${whom(deed.submitted_by)}`
      : undefined;
  return [NOTES[deed.state], sent].filter((words) => words !== undefined).join('. ') || undefined;
}

/** Whether a value can be written again: the register may change, it is sound, and it is not there now. */
function canGoBack(rec: Rec | null, register: string, value: unknown): boolean {
  if (!rec || rec.gone) return false;
  const declared = kinds[rec.entity]?.registers[register];
  if (!declared || declared.immutable) return false;
  const now = (rec.values as unknown as Record<string, unknown>)[register];
  const isOpen = rec.also[register] !== undefined;
  if (sameValue(now, value) && !isOpen) return false;
  return validate(rec.entity, { [register]: value }) === null;
}

interface Said {
  entity: string;
  rec: Rec | null;
  naming: Naming;
}

function changeWords(
  { entity, naming }: Said,
  { register, to, from }: Change,
  what: Step['what'],
  speech: Speech,
): string {
  const say = (value: unknown): string => valueWords(entity, register, value, naming, speech);
  const label = registerWords(entity, register);
  if (what === 'added' || from === null || from.length === 0) return `${label}: ${say(to)}`;
  if (from.length > 1) return `${label}: ${from.map(say).join(' or ')}, settled as ${say(to)}`;
  return `${label}: from ${say(from[0])} to ${say(to)}`;
}

/** What a step did, register by register. */
export function changeLines(
  said: Said,
  step: Step,
  speech: Speech,
  whom: (id: string) => string,
): ChangeLine[] {
  const owner = kinds[said.entity]?.owner;
  return step.changes
    .filter(({ register }) => register !== owner)
    .filter(({ to }) => step.what !== 'added' || (to !== null && to !== undefined))
    .map((change) => {
      const { register, to, rivals } = change;
      const others = rivals.map(({ by, value }) => {
        const words = valueWords(said.entity, register, value, said.naming, speech);
        return `${whom(by)} wrote ${words}`;
      });
      const words = valueWords(said.entity, register, to, said.naming, speech);
      return {
        key: `${step.deed.op_id} ${register}`,
        words: changeWords(said, change, step.what, speech),
        beside: others.length > 0 ? `Not knowing of it, ${listed(others)}` : undefined,
        back: canGoBack(said.rec, register, to) ? words : undefined,
        register,
        value: to,
      };
    });
}

/** One line for a record that belongs to the one on screen. */
export function belowTitle({ entity, gone }: Pick<Rec, 'entity' | 'gone'>): string {
  const kind = capital(kinds[entity]?.label ?? entity);
  return gone ? `${kind}, taken away` : kind;
}

/** As many registers as fit in a line: the rest is one tap away. */
const TOLD_BELOW = 3;

/** What such a record says, in short: "Used, 400 g, today 06:30". */
export function belowDetail(
  { entity, values }: Pick<Rec, 'entity' | 'values'>,
  naming: Naming,
  speech: Speech,
): string | undefined {
  const owner = kinds[entity]?.owner;
  const registers = Object.keys(kinds[entity]?.registers ?? {}).filter((name) => name !== owner);
  const said = values as unknown as Record<string, unknown>;
  const told = registers
    .filter((name) => (said[name] ?? null) !== null && !Array.isArray(said[name]))
    .slice(0, TOLD_BELOW)
    .map((name) => valueWords(entity, name, said[name], naming, speech));
  return told.length === 0 ? undefined : capital(told.join(', '));
}

/** Where the record itself is looked at, and what that page is called. */
export function homeOf(found: Pick<RecordHistory, 'rid' | 'entity' | 'rec'> | null): {
  href: string;
  label: string;
} {
  const rid = found?.rid ?? '';
  const values = (found?.rec?.values ?? {}) as unknown as Record<string, unknown>;
  const link = (register: string): string =>
    typeof values[register] === 'string' ? values[register] : '';
  switch (found?.entity ?? '') {
    case 'dog':
      return { href: `/dogs/${rid}`, label: 'Dog' };
    case 'weighing':
    case 'condition':
    case 'observation':
      return { href: `/dogs/${link('dog')}`, label: 'Dog' };
    case 'lot':
    case 'bag':
      return { href: `/stores/${rid}`, label: 'Stores' };
    case 'movement':
    case 'count':
      return { href: `/stores/${link('of')}`, label: 'Stores' };
    case 'food':
      return { href: `/stores/foods/${rid}`, label: 'Food' };
    case 'batch':
      return { href: `/plan/${rid}`, label: 'Batch' };
    case 'weigh_in':
      return { href: `/plan/${link('batch')}`, label: 'Batch' };
    case 'preference':
      return { href: '/household', label: 'Household' };
    default:
      return { href: '/today', label: 'Today' };
  }
}
