import { flushSync } from 'svelte';
import { afterEach, expect, test, vi } from 'vitest';
import { ModelServer } from '../test/model-server.ts';
import { Phone } from '../test/phone.ts';
import { counter } from '../test/counter.svelte.ts';
import { setCurrent } from './context.ts';
import { live, type Live } from './live.svelte.ts';
import { records } from './read.ts';
import { create } from './write.ts';
import { soon } from '../test/soon.ts';

let stop: () => void = () => undefined;

afterEach(() => {
  stop();
});

function follow<T>(query: () => Promise<T>, initial: T): Live<T> {
  const { value, dispose } = counter.root(() => live(query, initial));
  stop = dispose;
  flushSync();
  return value;
}

test('a query is empty and loading first, then follows every write', async () => {
  const phone = await Phone.open(new ModelServer());
  setCurrent(phone.context);
  const dogs = follow(() => records('dog'), []);
  expect(dogs.loading).toBe(true);
  await soon(() => {
    expect(dogs.loading).toBe(false);
  });
  await create('dog', { name: 'Morag' });
  await create('dog', { name: 'Pascoe' });
  await soon(() => {
    expect(dogs.value.map((dog) => dog.values.name)).toEqual(['Morag', 'Pascoe']);
  });
});

test('it runs again when a reactive value it reads changes', async () => {
  const phone = await Phone.open(new ModelServer());
  setCurrent(phone.context);
  const morag = await create('dog', { name: 'Morag' });
  const pascoe = await create('dog', { name: 'Pascoe' });
  await create('weighing', { dog: morag, at: '2026-11-25T06:30:00Z', mass_g: 7900 });
  counter.text = morag;
  const weighings = follow(() => records('weighing', { owner: counter.text }), []);
  await soon(() => {
    expect(weighings.value).toHaveLength(1);
  });
  counter.text = pascoe;
  flushSync();
  await soon(() => {
    expect(weighings.value).toHaveLength(0);
  });
});

test('what arrives from another phone shows up too', async () => {
  const server = new ModelServer();
  const [ines, callum] = [await Phone.open(server), await Phone.open(server)];
  setCurrent(ines.context);
  const dogs = follow(() => records('dog'), []);
  await callum.do(() => create('dog', { name: 'Tansy' }));
  await callum.sync();
  await ines.sync();
  await soon(() => {
    expect(dogs.value).toHaveLength(1);
  });
});

test('before anybody has signed in it waits without an error', async () => {
  setCurrent(null);
  const error = vi.spyOn(console, 'error').mockImplementation(() => undefined);
  const dogs = follow(() => records('dog'), []);
  await new Promise((resolve) => setTimeout(resolve, 20));
  expect(dogs.loading).toBe(true);
  expect(error).not.toHaveBeenCalled();
});
