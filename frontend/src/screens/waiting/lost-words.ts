/** What was there before the server was put back, as a line. */
import type { LostRow } from '../../db/store.svelte';
import type { Naming } from '../../db/words';
import { kinds } from '../../domain/declared';
import { capital } from '../../ui/words';
import { registerWords, valueWords, type Speech } from './value-words';

export interface LostWords {
  readonly title: string;
  readonly detail: string;
  /** What putting it back writes, in words. */
  readonly back: string;
}

/** `about` says whose and which: "Pascoe, Monday supper". */
export function lostWords(
  { entity, row, registers }: Pick<LostRow, 'entity' | 'row' | 'registers'>,
  about: string,
  naming: Naming,
  speech: Speech,
): LostWords {
  const kind = capital(kinds[entity]?.label ?? entity.replaceAll('_', ' '));
  const owner = kinds[entity]?.owner;
  const told = Object.entries(row.values)
    .filter(([name, value]) => name !== 'deleted' && name !== owner && value !== null)
    .filter(([name]) => registers === null || registers.includes(name))
    .map(([name, value]) => {
      const words = valueWords(entity, name, value, naming, speech);
      return `${registerWords(entity, name).toLowerCase()} ${words}`;
    });
  const said = capital(told.join(', '));
  return {
    title: about === '' ? kind : `${about}: ${kind.toLowerCase()}`,
    detail: registers === null ? `All of it is missing. ${said}` : `Missing: ${said}`,
    back:
      registers === null
        ? 'It is written again as an entry of yours, with these values.'
        : 'These values are written again as an entry of yours; what stands there now stays in the history.',
  };
}
