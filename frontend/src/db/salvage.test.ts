/** What a phone can still hand out of a store that the app does not open. */

import { expect, test } from 'vitest';
import { ModelServer } from '../test/model-server.ts';
import { Phone } from '../test/phone.ts';
import { salvage } from './salvage.ts';
import { GENERATION } from './schema.ts';
import { discard } from './tray.ts';
import { create } from './write.ts';

/** As a newer build leaves it. */
function raise(name: string): Promise<void> {
  return new Promise((resolve, reject) => {
    const asked = indexedDB.open(name, (GENERATION + 1) * 10);
    asked.onupgradeneeded = () => asked.result.createObjectStore('later');
    asked.onsuccess = () => {
      asked.result.close();
      resolve();
    };
    asked.onerror = () => reject(asked.error ?? new Error('not raised'));
  });
}

test('fault_28 the entries of a newer store can be saved, and the store stays as it was', async () => {
  const phone = await Phone.open(new ModelServer());
  await phone.do(() => create('dog', { name: 'Morag' }));
  await phone.do(() => create('dog', { name: 'Tansy' }));
  const { name } = phone.db;
  phone.db.close();
  await raise(name);

  const texts = await Promise.all((await salvage()).map((file) => file.text()));
  const text = texts.find((each) => each.includes('Morag')) ?? '';
  const names = text
    .trim()
    .split('\n')
    .map((line) => (JSON.parse(line) as { set: { name: string } }).set.name);
  expect(names).toEqual(['Morag', 'Tansy']);
  const after = (await indexedDB.databases()).find((each) => each.name === name);
  expect(after?.version).toBe((GENERATION + 1) * 10);
});

test('fault_28 what was thrown away is not handed out', async () => {
  const phone = await Phone.open(new ModelServer());
  await phone.do(() => create('dog', { name: 'Pascoe' }));
  await phone.do(() => create('dog', { name: 'Typed by mistake' }));
  const [, mistake] = await phone.ops();
  if (mistake) await phone.do(() => discard(mistake));
  phone.db.close();

  const texts = await Promise.all((await salvage()).map((file) => file.text()));
  expect(texts.some((each) => each.includes('Pascoe'))).toBe(true);
  expect(texts.join('')).not.toContain('Typed by mistake');
});
