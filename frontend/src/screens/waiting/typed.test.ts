import { describe, expect, it } from 'vitest';
import { readTyped, typedOf } from './typed';

describe('mending a refused entry', () => {
  const mass = { type: 'int', min: 100, max: 150_000, unit: 'g' } as const;

  it('goes from a value to text and back', () => {
    expect(readTyped(mass, typedOf(mass, 17_400) ?? '')).toEqual({ value: 17_400, error: null });
    expect(readTyped({ type: 'bool' }, typedOf({ type: 'bool' }, false) ?? '')).toEqual({
      value: false,
      error: null,
    });
    expect(readTyped({ type: 'text' }, '')).toEqual({ value: null, error: null });
  });

  it('leaves alone what cannot be typed or changed', () => {
    expect(typedOf({ type: 'object' }, { g: 1 })).toBeNull();
    expect(typedOf({ type: 'text', immutable: true }, 'x')).toBeNull();
  });

  it('says what is allowed', () => {
    expect(readTyped(mass, 'a lot')).toEqual({
      error: '“a lot” is no number. Give 100 to 150000 g.',
    });
  });
});
