import { describe, expect, it } from 'vitest';
import type { Rec } from '../../db/store.svelte';
import { stepsOf, type Deed } from '../../domain/history';
import type { Speech } from '../waiting/value-words';
import { belowDetail, changeLines, homeOf, stepNote, stepTitle } from './history-words';

const SPEECH: Speech = { units: 'metric', today: '2026-11-25', zone: 'Europe/London' };
const naming = (): null => null;
const whom = (id: string): string => (id === 'c' ? 'Callum' : 'You');

function deed(op_id: string, at: number, set: Deed['set'], more: Partial<Deed> = {}): Deed {
  const rest = { by: 'i', submitted_by: null, new: false, seen: {}, state: 'in force' as const };
  return { ...rest, op_id, at, set, ...more };
}

const made = deed('a', 1, { dog: 'd', mass_g: 16_200, note: null }, { new: true });
const corrected = deed('b', 2, { mass_g: 16_400 }, { seen: { mass_g: ['a'] } });
const rec = {
  rid: 'w',
  entity: 'weighing',
  gone: false,
  also: {},
  values: { dog: 'd', at: '2026-11-25T06:30:00Z', mass_g: 16_400, note: null },
} as unknown as Rec;

function lines(deeds: readonly Deed[], of: Rec | null = rec) {
  const said = { entity: 'weighing', rec: of, naming };
  return stepsOf(deeds).map((step) => changeLines(said, step, SPEECH, whom));
}

describe('a record’s history in words', () => {
  it('says from what to what, in the reader’s units', () => {
    const [newest, oldest] = lines([made, corrected]);
    expect(newest?.map((line) => line.words)).toEqual(['Weight: from 16.2 kg to 16.4 kg']);
    expect(oldest?.map((line) => line.words)).toEqual(['Weight: 16.2 kg']);
  });

  it('offers earlier values to be put back, not the present one, and none of a deleted record', () => {
    const [newest, oldest] = lines([made, corrected]);
    expect(newest?.[0]?.back).toBeUndefined();
    expect(oldest?.[0]?.back).toBe('16.2 kg');
    const gone = lines([made, corrected], { ...rec, gone: true });
    expect(gone.flat().map((line) => line.back)).toEqual([undefined, undefined]);
  });

  it('says what was settled, and what somebody wrote not knowing of it', () => {
    const other = deed('c', 3, { mass_g: 16_900 }, { by: 'c', seen: { mass_g: ['a'] } });
    const settled = deed('e', 4, { mass_g: 16_400 }, { seen: { mass_g: ['b', 'c'] } });
    const [last, , first] = lines([made, corrected, other, settled]);
    expect(last?.[0]?.words).toBe('Weight: 16.4 kg or 16.9 kg, settled as 16.4 kg');
    expect(first?.[0]?.beside).toBe('Not knowing of it, Callum wrote 16.9 kg');
  });

  it('tells what does not count, and who sent it for whom', () => {
    const [refused] = stepsOf([deed('a', 1, { mass_g: 1 }, { state: 'refused' })]);
    const [sent] = stepsOf([deed('a', 1, { mass_g: 1 }, { submitted_by: 'c' })]);
    const [partial] = stepsOf([deed('a', 1, { mass_g: 1 }, { state: 'partial' })]);
    expect(refused && stepNote(refused, whom)).toMatch(/does not count/);
    expect(sent && stepNote(sent, whom)).toBe('Sent by Callum');
    expect(partial && stepTitle(partial)).toBe('Last said');
  });

  it('says in short what belongs to a record, and leads back to its page', () => {
    expect(belowDetail(rec, naming, SPEECH)).toBe('Today 06:30, 16.4 kg');
    expect(homeOf({ rid: 'w', entity: 'weighing', rec }).href).toBe('/dogs/d');
  });
});
