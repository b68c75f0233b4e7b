import { describe, expect, it } from 'vitest';
import type { Tables } from '../../domain/tables';
import {
  among,
  asTick,
  batchMoments,
  BEFORE,
  beforeMoments,
  cautionSources,
  cautionsUnplanned,
  GRINDER,
  hasBone,
  leftToTick,
} from './cautions';

const heart = { group: 'heart', style: 'raw', bone_share: null, keeping_class: 'organs' } as const;
const neck = {
  group: 'bone_in',
  style: 'raw',
  bone_share: 0.36,
  keeping_class: 'poultry_pieces',
} as const;
const carrot = {
  group: 'vegetable',
  style: 'raw',
  bone_share: null,
  keeping_class: null,
} as const;

describe('the moments of a batch', () => {
  it('ask for care with raw meat and the grinder', () => {
    const moments = batchMoments([heart, carrot], 'ground');
    expect([...among(moments, BEFORE)]).toEqual(['raw', 'weigh_in']);
    expect([...among(moments, GRINDER)]).toEqual(['grinder']);
  });

  it('add bone and poultry', () => {
    const moments = batchMoments([neck], 'ground');
    expect(moments.has('bone')).toBe(true);
    expect(moments.has('poultry_raw')).toBe(true);
    expect([...among(moments, GRINDER)]).toEqual(['grinder', 'grinder_bone']);
    expect(hasBone(neck)).toBe(true);
  });

  it('say before weighing what bone does where it is left whole or might be cooked', () => {
    for (const method of ['bone_in', 'cooked', 'chopped', 'dry_mix'] as const) {
      const moments = batchMoments([neck], method);
      expect(beforeMoments(moments, method).has('bone')).toBe(true);
      expect([...among(moments, GRINDER)]).toEqual([]);
    }
    expect(beforeMoments(batchMoments([neck], 'ground'), 'ground').has('bone')).toBe(false);
    expect(beforeMoments(batchMoments([heart], 'cooked'), 'cooked').has('bone')).toBe(false);
  });

  it('ask nothing of a cooked batch of vegetables', () => {
    expect(batchMoments([carrot], 'cooked').size).toBe(0);
  });
});

describe('a tick', () => {
  it('says the first sentence large and the rest below', () => {
    const caution = { key: 'a', moment: 'grinder', text: 'Unplug it. Then clean.', source: 's' };
    expect(asTick(caution)).toEqual({ key: 'a', title: 'Unplug it', detail: 'Then clean.' });
    expect(asTick({ ...caution, text: 'Unplug it.' })).toEqual({ key: 'a', title: 'Unplug it' });
  });

  it('splits before the reason', () => {
    const caution = {
      key: 'a',
      moment: 'raw',
      text: 'Do not rinse meat: it splashes.',
      source: '',
    };
    expect(asTick(caution)).toEqual({
      key: 'a',
      title: 'Do not rinse meat',
      detail: 'It splashes.',
    });
  });

  it('is counted until every one is made', () => {
    expect(leftToTick(['a', 'b'], new Set(['a']))).toBe(1);
  });
});

describe('who says a caution', () => {
  it('is told with the doubt where it was entered from memory', () => {
    const sources = { fda: { title: 'Get the facts', publisher: 'FDA', year: 2023 } } as never;
    const caution = { key: 'c', moment: 'supplement', text: 'Weigh it.', source: 'fda' } as const;
    const rows = [
      { ...caution, verified: 'memory' } as const,
      { ...caution, verified: 'read' } as const,
    ];
    expect(cautionSources({ sources }, rows)).toEqual([
      'Get the facts, FDA, 2023 (not yet compared with the printed source)',
      'Get the facts, FDA, 2023',
    ]);
  });
});

describe('a food that goes in without a plan', () => {
  const caution = { text: 'Weigh it.', source: 'fda' } as const;
  const tables = {
    cautions: ['raw', 'liver', 'bone', 'supplement', 'look'].map((moment) => ({
      ...caution,
      key: moment,
      moment,
    })),
  } as unknown as Tables;
  const keysOf = (food: object, method: 'ground' | 'bone_in' = 'ground') =>
    cautionsUnplanned(tables, { ...carrot, ...food }, method).map(({ key }) => key);

  it('tells what the plan would have told', () => {
    expect(keysOf({ group: 'mineral' })).toEqual(['supplement']);
    expect(keysOf({ group: 'liver' })).toEqual(['liver']);
    expect(keysOf({})).toEqual([]);
  });

  it('says nothing twice that is ticked', () => {
    expect(keysOf(neck)).toEqual([]);
    expect(keysOf(neck, 'bone_in')).toEqual([]);
  });
});
