import { expect, it } from 'vitest';
import { once } from './once';

it('does a deed once while it is under way, and again afterwards, also after it failed', async () => {
  const done: string[] = [];
  const deed = once(async (what: string) => {
    done.push(what);
    await Promise.resolve();
    if (what === 'first') throw new Error('not saved');
  });
  const first = deed('first');
  await deed('meanwhile');
  await expect(first).rejects.toThrow('not saved');
  await deed('then');
  expect(done).toEqual(['first', 'then']);
});
