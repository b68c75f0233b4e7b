/** The edition a household compares with: one record for all its members, offline too. */
import type { Preference } from '../../domain/kinds';
import type { StandardEdition, Tables } from '../../domain/tables';
import { originWords } from '../dogs/needs';
import { keepPreference, readPreference } from './preference';

export type Standard = NonNullable<Preference['standard']>;

const STANDARDS: readonly Standard[] = ['nrc-2006', 'aafco-2016', 'fediaf-2021'];

export interface Choice {
  readonly value: Standard;
  readonly name: string;
  readonly words: string;
  readonly source: string;
}

function choiceOf(tables: Tables, edition: StandardEdition): Choice[] {
  const value = STANDARDS.find((each) => each === edition.key);
  const row = Object.values(edition.stages.adult ?? {})[0];
  if (!value || !row) return [];
  const words = edition.words ?? '';
  const { title, publisher, year } = tables.sources[value] ?? {
    title: '',
    publisher: '',
    year: null,
  };
  const source = [publisher, title, year === null ? '' : String(year)].filter(Boolean).join(', ');
  return [{ value, name: edition.name, words, source }];
}

/** The editions of the tables that a household can choose from. */
export function choices(tables: Tables): Choice[] {
  return tables.standards.flatMap((edition) => choiceOf(tables, edition));
}

/** Where an edition's figures come from, and how far they were checked. */
export function checkedWords(tables: Tables, edition: StandardEdition): string[] {
  const rows = Object.values(edition.stages.adult ?? {});
  const fromMemory = rows.filter((row) => row.verified === 'memory').length;
  const first = rows[0];
  if (!first) return [];
  return [
    originWords(tables.sources, first).replace(/: [^:]*$/, ''),
    fromMemory === 0
      ? 'Every figure for grown dogs was read in a source, or worked out from one.'
      : `${fromMemory} of ${rows.length} figures for grown dogs are from memory and not yet compared with the printed source.`,
  ];
}

/** Chooses for the whole household. */
export async function chooseStandard(standard: Standard): Promise<void> {
  await keepPreference({ standard }, await readPreference());
}
