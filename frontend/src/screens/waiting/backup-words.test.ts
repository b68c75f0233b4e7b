import { expect, test } from 'vitest';
import { importedWords, previewWords } from './backup-words';

const NAMES: Record<string, string> = { c: 'Callum', i: 'You' };
const whom = (id: string): string => NAMES[id] ?? 'Somebody who left';

test('a file taken in twice has nothing new', () => {
  expect(previewWords({ fresh: 0, known: 3, ofOthers: 0, authors: [] }, whom)).toEqual([
    'Nothing new in it: all 3 entries are here already.',
  ]);
  expect(importedWords({ added: 0, known: 3 })).toMatch(/^Nothing new/);
});

test('own entries are sent, those of others wait and are never sent as one’s own', () => {
  const words = previewWords({ fresh: 5, known: 2, ofOthers: 2, authors: ['c'] }, whom).join(' ');
  expect(words).toContain('3 entries of yours will be sent');
  expect(words).toContain('2 entries were written by Callum. They wait here');
  expect(words).toContain('not sent as yours');
  expect(words).toContain('2 entries more are here already');
});

test('one entry is one entry', () => {
  const words = previewWords({ fresh: 1, known: 0, ofOthers: 1, authors: ['x'] }, whom).join(' ');
  expect(words).toBe(
    '1 entry in it is not on this phone. 1 entry was written by Somebody who left. It waits here and is not sent as yours.',
  );
  expect(importedWords({ added: 1, known: 2 })).toBe('1 entry taken in, 2 were here already.');
});
