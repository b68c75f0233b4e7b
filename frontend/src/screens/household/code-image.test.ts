import { describe, expect, it } from 'vitest';
import { pictureOf } from './code-image';

describe('a code as a picture', () => {
  it('names its language once, whether the server did or not', () => {
    const named = '<svg xmlns="http://www.w3.org/2000/svg" width="9"></svg>';
    expect(pictureOf('<svg width="9"></svg>')).toBe(pictureOf(named));
    expect(decodeURIComponent(pictureOf(named))).toContain(named);
  });
});
