import { describe, expect, it } from 'vitest';
import type { Outlived, Rec } from '../../db/store.svelte';
import { outlivedWords } from './outlived-words';

const deed = { by: 'callum', at: 0 };

function found(entity: Rec['entity'], rest: Partial<Outlived>): Outlived {
  return { rec: { entity } as Rec, deleted: deed, changed: deed, dependants: 0, ...rest };
}

describe('a record that outlived its deletion', () => {
  it('says which, and that somebody changed it', () => {
    const words = outlivedWords(found('serving', {}), 'Pascoe, supper Mon');
    expect(words.title).toBe('Meal taken away, and still here');
    expect(words.question).toContain('Pascoe, supper Mon.');
    expect(words.question).toContain('it was changed');
    expect(words.keep).toBe('Still wanted');
  });

  it('says how much would go with it', () => {
    const words = outlivedWords(found('batch', { changed: null, dependants: 3 }), '');
    expect(words.question).toContain('entries were added');
    expect(words.keep).toBe('Still wanted: 3 entries belong to it');
    expect(words.takeAway).toContain('(3)');
  });
});
