import { describe, expect, it } from 'vitest';
import {
  dropSession,
  forgetTicked,
  freshSession,
  keepSession,
  keptSession,
  markTicked,
  wasTicked,
} from './session';

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

  it('starts afresh when what was kept cannot be read', () => {
    const storage = memory();
    storage.setItem('trencher-counter-b', '{');
    expect(keptSession('b', storage)).toEqual(freshSession);
  });

  it('asks for the cautions again once it was left', () => {
    const storage = memory();
    markTicked('b', storage);
    expect(wasTicked('b', storage)).toBe(true);
    forgetTicked('b', storage);
    expect(wasTicked('b', storage)).toBe(false);
  });
});
