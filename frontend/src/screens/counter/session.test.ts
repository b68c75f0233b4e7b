import { describe, expect, it } from 'vitest';
import { scaleSays } from './weigh-in';
import { afterUndo, dropSession, freshSession, inUnits, keepSession, keptSession } from './session';

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

describe('the counter', () => {
  it('goes on after a reload where it was', () => {
    const storage = memory();
    const session = { ...freshSession, food: 'heart', digits: '41', skipped: ['liver'] };
    keepSession('b', session, storage);
    expect(keptSession('b', storage)).toEqual(session);
    dropSession('b', storage);
    expect(keptSession('b', storage)).toEqual(freshSession);
  });

  it('keeps what stands on the display when the units are changed', () => {
    const session = { ...freshSession, digits: '238' };
    expect(inUnits(session, 'metric')).toBe(session);
    expect(inUnits(session, 'us')).toEqual({ ...session, digits: '8.4', units: 'us' });
    expect(inUnits(inUnits(session, 'us'), 'metric')).toEqual(session);
    expect(inUnits(freshSession, 'us').digits).toBe('');
  });

  it('counts from nothing when what lay under the zero of the scale is taken out', () => {
    // 500 g in the bowl, the scale set to zero, the last 300 g taken back: 200 g are left.
    const session = { ...freshSession, showsTotal: true, zeroAt_g: 500 };
    const held_g = 200 - afterUndo(session, 200);
    expect(scaleSays('30', held_g, 'metric').putIn_g).toBe(30);
    expect(afterUndo(session, 600)).toBe(500);
  });

  it('starts afresh when what was kept cannot be read', () => {
    const storage = memory();
    storage.setItem('trencher-counter-b', '{');
    expect(keptSession('b', storage)).toEqual(freshSession);
  });
});
