/** A refused entry and what hangs on it: a deleted owner is kept alive by living children alone. */

import { expect, test } from 'vitest';
import { ModelServer } from '../test/model-server.ts';
import { CALLUM, INES, Phone } from '../test/phone.ts';
import { record } from './read.ts';
import { create, edit, remove } from './write.ts';

const AT = '2026-11-25T06:30:00Z';

test('fault_20 a deleted owner is gone again when its refused child leaves an orphan', async () => {
  const server = new ModelServer();
  const ines = await Phone.open(server, INES);
  const callum = await Phone.open(server, CALLUM);
  const dog = await ines.do(() => create('dog', { name: 'Morag' }));
  await ines.sync();
  await callum.sync();
  const seen = await ines.do(() => record('dog', dog));
  if (seen) await ines.do(() => remove(seen));
  await ines.sync();
  await callum.sync();
  const child = await callum.do(() => create('weighing', { dog, at: AT, mass_g: 7900 }));
  const weighing = await callum.do(() => record('weighing', child));
  if (weighing) await callum.do(() => edit(weighing, { note: 'after supper' }));
  // Refused by the server alone: an older app lets through what a newer server does not.
  const [made] = await callum.ops();
  if (made) await callum.db.ops.put({ ...made, body: { ...made.body, set: { dog, at: AT } } });
  await callum.sync();
  expect(await callum.states()).toEqual(['rejected', 'wait']);
  expect((await callum.shown(dog))?.gone).toBe(true);
});
