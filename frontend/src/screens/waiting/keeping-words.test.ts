import { describe, expect, it } from 'vitest';
import { keepingWords, roomWords } from './keeping-words';

const ANDROID = { isApple: false, isInstalled: false };

describe('what the browser says of the store', () => {
  it('says nothing before anything was saved', () => {
    expect(keepingWords(null, ANDROID)).toBeNull();
  });

  it('advises the home screen where that helps, in the words of that phone', () => {
    expect(keepingWords('may be cleared', { isApple: true, isInstalled: false })).toMatchObject({
      detail: expect.stringContaining('Safari') as string,
      next: 'tap Share, then Add to Home Screen.',
    });
    expect(keepingWords('may be cleared', ANDROID)?.next).toMatch(/Install/);
    expect(keepingWords('may be cleared', { isApple: true, isInstalled: true })?.next).toMatch(
      /while connected/,
    );
  });

  it('tells a promise, a refusal and silence apart', () => {
    const titles = (['kept', 'may be cleared', 'unsaid'] as const).map(
      (keeping) => keepingWords(keeping, ANDROID)?.title,
    );
    expect(new Set(titles).size).toBe(3);
    expect(keepingWords('kept', ANDROID)?.next).toBeUndefined();
  });

  it('gives the room in megabytes', () => {
    const MB = 1024 * 1024;
    expect(roomWords({ usage: 214.4 * MB, quota: 240 * MB })).toBe(
      '214 MB of the 240 MB this browser allows are taken.',
    );
  });
});
