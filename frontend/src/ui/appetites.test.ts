import { describe, expect, it } from 'vitest';
import { stripWords } from './appetites';

describe('the sentence beside the appetite strip', () => {
  it('counts every word that occurs, and what nobody noted', () => {
    const days = [
      { key: 'a', letter: 'M', meals: ['keen', 'slow'] as const },
      { key: 'b', letter: 'T', meals: ['keen', null] as const },
    ];
    expect(stripWords(days)).toBe('keen 2, slow 1, nothing noted 1');
  });

  it('does not draw an empty week as a bad one', () => {
    expect(stripWords([{ key: 'a', letter: 'M', meals: [] }])).toBe('No meals written down');
  });
});
