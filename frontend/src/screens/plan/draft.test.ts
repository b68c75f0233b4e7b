import { describe, expect, it } from 'vitest';
import { batchValues, draftOf, emptyDraft, keepDraft, keptDraft } from './draft';

function memory(): Storage {
  const items = new Map<string, string>();
  return {
    get length() {
      return items.size;
    },
    clear: () => items.clear(),
    getItem: (key) => items.get(key) ?? null,
    key: () => null,
    removeItem: (key) => void items.delete(key),
    setItem: (key, value) => void items.set(key, value),
  };
}

const draft = {
  ...emptyDraft(['morag'], '2026-11-28'),
  lines: [{ food: 'heart', mass_g: 600 }],
};

describe('a draft', () => {
  it('survives a reload and goes when it is accepted', () => {
    const storage = memory();
    keepDraft('new', draft, storage);
    expect(keptDraft('new', storage)).toEqual(draft);
    keepDraft('new', null, storage);
    expect(keptDraft('new', storage)).toBeNull();
  });

  it('starts again when what was kept cannot be read', () => {
    const storage = memory();
    storage.setItem('trencher-plan-new', '{"dogs":');
    expect(keptDraft('new', storage)).toBeNull();
    storage.setItem('trencher-plan-new', '{"dogs":3}');
    expect(keptDraft('new', storage)).toBeNull();
  });

  it('writes a plate only when there is a grinder', () => {
    expect(batchValues(draft).plate_mm).toBe(8);
    expect(batchValues({ ...draft, method: 'cooked' }).plate_mm).toBeNull();
  });

  it('comes back from the batch it became', () => {
    const batch = { ...batchValues(draft), stage: 'planned' as const };
    expect(draftOf(batch)).toEqual(draft);
  });

  it('has no day while its batch has none', () => {
    const batch = { ...batchValues({ ...draft, plannedFor: '' }), stage: 'planned' as const };
    expect(draftOf(batch).plannedFor).toBe('');
  });
});
