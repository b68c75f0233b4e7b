import { expect, it } from 'vitest';
import { zoneOf } from './zones';

it('is spelt as the server knows it, however it was typed', () => {
  for (const typed of ['America/New_York', ' america/new york ', 'America/New_York '])
    expect(zoneOf(typed)).toBe('America/New_York');
  expect(zoneOf('Europe/Londn')).toBe('Europe/Londn');
});
