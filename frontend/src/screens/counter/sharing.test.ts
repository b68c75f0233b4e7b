import { beforeEach, expect, it, vi } from 'vitest';
import { dropSharing, freshSharing, keepSharing, keptSharing } from './sharing';

const items = new Map<string, string>();

beforeEach(() => {
  items.clear();
  vi.stubGlobal('localStorage', {
    getItem: (key: string) => items.get(key) ?? null,
    setItem: (key: string, value: string) => items.set(key, value),
    removeItem: (key: string) => items.delete(key),
  });
  return () => vi.unstubAllGlobals();
});

it('keeps what was typed of yield and bags over a reload, until it is put by', () => {
  const bags = { bag_g: 480, fridge: 1, freezer: 5 };
  const sharing = { yield_g: 3120, bags, rest: 'freezer' } as const;
  keepSharing('b', sharing);
  expect(keptSharing('b')).toEqual(sharing);
  expect(keptSharing('another')).toEqual(freshSharing);
  dropSharing('b');
  expect(keptSharing('b')).toEqual(freshSharing);
});

it('starts afresh when what was kept cannot be read', () => {
  items.set('trencher-sharing-b', '{');
  expect(keptSharing('b')).toEqual(freshSharing);
});
