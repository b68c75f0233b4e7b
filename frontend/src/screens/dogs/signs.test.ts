import { describe, expect, it } from 'vitest';
import { isNotEating, seenBeside, signsOf, type Around, type SeenAt } from './signs';

const nothing: Around = { seen: [], served: [], isPuppy: false };
const now = '2026-10-14T06:00:00Z';

function keys(
  entry: Partial<SeenAt> & Pick<SeenAt, 'topic'>,
  around: Partial<Around> = {},
): string[] {
  return signsOf({ at: now, ...entry }, { ...nothing, ...around }).map((sign) => sign.key);
}

describe('signs to ring the vet for', () => {
  it('are black or bloody stool, whatever its form', () => {
    expect(keys({ topic: 'stool', word: 'firm', flags: ['black_tarry'] })).toEqual(['black']);
    expect(keys({ topic: 'stool', word: 'soft_heap', flags: ['fresh_blood', 'mucus'] })).toEqual([
      'blood',
    ]);
  });

  it('are straining without result', () => {
    expect(keys({ topic: 'stool', word: null, flags: ['straining'] })).toEqual(['straining']);
    expect(keys({ topic: 'stool', word: 'firm', flags: ['straining'] })).toEqual([]);
  });

  it('are vomiting again within a day, not a single time', () => {
    expect(keys({ topic: 'vomiting', word: 'bile' })).toEqual([]);
    const seen = [{ at: '2026-10-13T20:00:00Z', topic: 'vomiting' as const }];
    expect(keys({ topic: 'vomiting', word: 'foam' }, { seen })).toEqual(['vomiting']);
    const longAgo = [{ at: '2026-10-12T20:00:00Z', topic: 'vomiting' as const }];
    expect(keys({ topic: 'vomiting', word: 'foam' }, { seen: longAgo })).toEqual([]);
  });

  it('are not made by opening what was written: it is no second time', () => {
    const once = { at: now, topic: 'vomiting' as const, word: 'bile' as const };
    const observations = [{ rid: 'once', values: { dog: 'morag', ...once } }];
    expect(keys(once, { seen: seenBeside(observations, undefined) })).toEqual(['vomiting']);
    expect(keys(once, { seen: seenBeside(observations, 'once') })).toEqual([]);
  });

  it('are a day without food, and one meal for a puppy', () => {
    const left = { topic: 'appetite' as const, word: 'left_it' };
    expect(keys(left)).toEqual([]);
    const served = [{ at: '2026-10-13T17:00:00Z', eaten: 0, appetite: null }];
    expect(keys(left, { served })).toEqual(['fasting']);
    expect(
      keys(left, { served: [{ at: '2026-10-13T17:00:00Z', eaten: 1, appetite: 'keen' }] }),
    ).toEqual([]);
    expect(keys(left, { isPuppy: true })).toEqual(['puppy']);
  });

  it('are the third liquid stool of a day', () => {
    const seen = ['2026-10-13T18:00:00Z', '2026-10-14T01:00:00Z'].map((at) => ({
      at,
      topic: 'stool' as const,
      word: 'liquid',
    }));
    expect(keys({ topic: 'stool', word: 'liquid' }, { seen })).toEqual(['liquid']);
    expect(keys({ topic: 'stool', word: 'liquid' }, { seen: seen.slice(1) })).toEqual([]);
  });

  it('are not everyday things', () => {
    expect(keys({ topic: 'stool', word: 'soft_shaped', flags: ['grass'] })).toEqual([]);
    expect(keys({ topic: 'behaviour', word: 'bright' })).toEqual([]);
  });

  it('do not take a meal nobody noted for one that was left', () => {
    expect(
      isNotEating(
        [
          { at: '2026-10-13T17:00:00Z', eaten: 0, appetite: null },
          { at: now, eaten: null, appetite: null },
        ],
        now,
      ),
    ).toBe(false);
  });
});
