import { expect, test } from 'vitest';
import { ModelServer } from '../test/model-server.ts';
import { Phone } from '../test/phone.ts';
import { records } from './read.ts';
import { create } from './write.ts';

/** Breakfast in Auckland and supper in Los Angeles: the day of the instant, in UTC, is another. */
const MEALS = [
  { name: 'Breakfast', day: '2026-11-26', at: '2026-11-25T17:30:00Z' },
  { name: 'Supper', day: '2026-11-25', at: '2026-11-26T01:30:00Z' },
];

test('a meal is found on the day it belongs to, whatever day it is in UTC', async () => {
  const phone = await Phone.open(new ModelServer());
  for (const meal of MEALS) await phone.do(() => create('meal', meal));
  for (const { name, day } of MEALS) {
    const found = await phone.do(() => records('meal', { from: day, to: day }));
    expect(found.map((meal) => meal.values.name)).toEqual([name]);
  }
});

test('other records are found by their instant', async () => {
  const phone = await Phone.open(new ModelServer());
  const dog = await phone.do(() => create('dog', { name: 'Morag' }));
  const at = '2026-11-25T17:30:00Z';
  await phone.do(() => create('weighing', { dog, at, mass_g: 7900 }));
  const on = (day: string) => phone.do(() => records('weighing', { from: day, to: day }));
  expect(await on('2026-11-25')).toHaveLength(1);
  expect(await on('2026-11-26')).toHaveLength(0);
});
