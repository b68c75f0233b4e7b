import { beforeEach, describe, expect, it } from 'vitest';
import { app, conflicts, create, records } from '../../db/store.svelte';
import type { Rota } from '../../domain/kinds';
import { ModelServer } from '../../test/model-server';
import { CALLUM, INES, Phone } from '../../test/phone';
import { partsOf, readDues, swapFor, type Due } from './due';
import { assign, finish, putBackOn, strikeOff, swap, unfinish } from './entries';

const TODAY = '2026-11-25';
const SPAN = { from: TODAY, to: '2026-12-02', today: TODAY, zone: 'Europe/London' };
const GRIND: Rota = {
  what: 'grind',
  starts_on: '2026-11-20',
  time: '18:00',
  repeats: { every_days: 2 },
  turns: [INES, CALLUM],
};
let server: ModelServer;
let ines: Phone;
let callum: Phone;

async function on(day: string): Promise<Due> {
  const found = (await readDues(SPAN)).find(({ values }) => values.due_at?.startsWith(day));
  if (!found) throw new Error(`nothing is due on ${day}`);
  return found;
}

/** The day and whose turn it is, of all that is open. */
async function open(): Promise<(string | null)[][]> {
  const dues = await readDues(SPAN);
  return dues
    .filter(({ values }) => values.done == null)
    .map(({ values }) => [values.due_at?.slice(5, 10) ?? null, values.assignee ?? null])
    .sort();
}

async function syncAll(): Promise<void> {
  for (const phone of [ines, callum, ines, callum]) await phone.sync();
}

beforeEach(async () => {
  server = new ModelServer();
  // Already asked: the test has no browser whose promise could be had.
  app.keeping = 'unsaid';
  ines = await Phone.open(server, INES);
  callum = await Phone.open(server, CALLUM);
  await ines.do(() => create('rota', GRIND));
  await syncAll();
});

describe('a duty in turns', () => {
  it('is on the list by the day, the last missed one too, and stored nowhere', async () => {
    await ines.do(async () => {
      expect(await open()).toEqual([
        ['11-24', INES],
        ['11-26', CALLUM],
        ['11-28', INES],
        ['11-30', CALLUM],
        ['12-02', INES],
      ]);
      expect(await records('duty')).toEqual([]);
      const parts = partsOf(await readDues(SPAN), SPAN);
      expect([parts.late, parts.today, parts.ahead].map((part) => part.length)).toEqual([1, 0, 4]);
    });
  });

  it('done by each on a phone without network is one duty, with both accounts', async () => {
    await ines.do(async () => finish(await on('2026-11-24'), INES, '2026-11-25T09:00:00Z'));
    await callum.do(async () => finish(await on('2026-11-24'), CALLUM, '2026-11-25T09:05:00Z'));
    await syncAll();
    for (const phone of [ines, callum]) {
      await phone.do(async () => {
        expect(await records('duty')).toHaveLength(1);
        const [rival] = await conflicts();
        expect(rival?.also['done']).toHaveLength(2);
        expect(Object.keys(rival?.also ?? {})).toEqual(['done']);
      });
    }
  });

  it('done alike on both is done, and nobody is asked', async () => {
    for (const phone of [ines, callum]) {
      await phone.do(async () => finish(await on('2026-11-24'), INES, '2026-11-25T09:00:00Z'));
    }
    await syncAll();
    await callum.do(async () => {
      expect(await conflicts()).toEqual([]);
      expect((await open()).map(([day]) => day)).not.toContain('11-24');
    });
  });

  it('taken over on one phone and done on the other is both, and nobody is asked', async () => {
    await ines.do(async () => finish(await on('2026-11-28'), INES, '2026-11-28T18:00:00Z'));
    await callum.do(async () => assign(await on('2026-11-28'), CALLUM));
    await syncAll();
    for (const phone of [ines, callum]) {
      await phone.do(async () => {
        expect(await conflicts()).toEqual([]);
        const [duty] = await records('duty');
        expect([duty?.values.assignee, duty?.values.done?.by]).toEqual([CALLUM, INES]);
      });
    }
  });

  it('taken over is the other person’s this once', async () => {
    await callum.do(async () => assign(await on('2026-11-28'), CALLUM));
    await syncAll();
    await ines.do(async () => {
      expect((await open()).slice(1, 4)).toEqual([
        ['11-26', CALLUM],
        ['11-28', CALLUM],
        ['11-30', CALLUM],
      ]);
    });
  });

  it('swapped is each the other’s, on both phones', async () => {
    await callum.do(async () => {
      const own = await on('2026-11-26');
      const other = swapFor(own, await readDues(SPAN));
      if (!other) throw new Error('nothing to swap with');
      await swap(own, other);
    });
    await syncAll();
    await ines.do(async () => {
      expect((await open()).slice(1, 4)).toEqual([
        ['11-26', INES],
        ['11-28', CALLUM],
        ['11-30', CALLUM],
      ]);
    });
  });

  it('struck off stays off, until it is put back', async () => {
    let struck: Due | null = null;
    await ines.do(async () => {
      struck = await on('2026-11-28');
      await strikeOff(struck);
    });
    await syncAll();
    await callum.do(async () => {
      expect((await open()).map(([day]) => day)).not.toContain('11-28');
      if (struck) await putBackOn(struck);
      expect((await open()).map(([day]) => day)).toContain('11-28');
    });
  });

  it('struck off on one phone and done on the other is done', async () => {
    await ines.do(async () => strikeOff(await on('2026-11-28')));
    await callum.do(async () => finish(await on('2026-11-28'), CALLUM, '2026-11-28T18:00:00Z'));
    await syncAll();
    await ines.do(async () => expect((await records('duty'))[0]?.values.done?.by).toBe(CALLUM));
  });

  it('that was not done after all is open again', async () => {
    await ines.do(async () => {
      const due = await on('2026-11-24');
      await finish(due, INES, '2026-11-25T09:00:00Z');
      expect((await open()).map(([day]) => day)).not.toContain('11-24');
      await unfinish(due);
      expect(await open()).toContainEqual(['11-24', INES]); // Whose turn it is, as before.
    });
  });

  it('written down for a day after the span stands under later, or nobody could change it', async () => {
    await ines.do(async () => {
      await create('duty', { what: 'ring_vet', due_at: '2027-01-20T09:00:00Z' });
      const { later, ahead } = partsOf(await readDues(SPAN), SPAN);
      expect(later.map(({ values }) => values.what)).toEqual(['ring_vet']);
      expect(ahead.map(({ values }) => values.what)).not.toContain('ring_vet');
    });
  });

  it('is due at the same hour of the clock on either side of its change', async () => {
    await ines.do(async () => {
      const autumn = { ...SPAN, from: '2026-10-24', to: '2026-10-26', today: '2026-10-24' };
      await create('rota', {
        what: 'weigh',
        starts_on: '2026-10-24',
        time: '08:00',
        repeats: { every_days: 1 },
      });
      const due = (await readDues(autumn)).map(({ values }) => values.due_at);
      expect(due).toEqual(['2026-10-24T07:00:00Z', '2026-10-25T08:00:00Z', '2026-10-26T08:00:00Z']);
    });
  });
});
