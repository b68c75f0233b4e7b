import { describe, expect, it } from 'vitest';
import { shownIn } from './judged';

describe('shownIn', () => {
  it('shows thousands of milligrams as grams', () => {
    expect(shownIn('mg', [3000, 4500])).toEqual({ unit: 'g', scale: 1000 });
    expect(shownIn('mg', [25, null])).toEqual({ unit: 'mg', scale: 1 });
    expect(shownIn('g', [25000])).toEqual({ unit: 'g', scale: 1 });
    expect(shownIn('µg', [1000])).toEqual({ unit: 'mg', scale: 1000 });
  });
});
