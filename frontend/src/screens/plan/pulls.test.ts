import fc from 'fast-check';
import { beforeEach, describe, expect, it } from 'vitest';
import { app, conflicts, create, packId, records, remove } from '../../db/store.svelte';
import { ModelServer } from '../../test/model-server';
import { CALLUM, INES, Phone } from '../../test/phone';
import {
  acceptPulls,
  changePull,
  forMeal,
  frozen_g,
  movePacks,
  neededFor,
  readFreezer,
  stillToGo,
  unmovePacks,
  type PullState,
} from './pulls';

const HEART = 'usda-13321';
const LIVER = 'usda-05027';
const PACK_G = 640;
const NEEDED = '2026-11-27T17:00:00Z';
const AT = '2026-11-25T09:00:00Z';
let server: ModelServer;
let ines: Phone;
let callum: Phone;
let batch: string;
let lot: string;

async function stored(food: string, pack_mass_g: number, mass_g: number, frozen_on: string) {
  const of = await create('lot', { food, pack_mass_g, place: 'freezer', frozen_on });
  await create('movement', { of, what: 'stored', mass_g, at: '2026-11-01T08:00:00Z' });
  return of;
}

async function only(): Promise<PullState> {
  const { pulls } = await readFreezer();
  const [pull] = pulls;
  if (!pull || pulls.length > 1) throw new Error(`${pulls.length} pulls where one was wanted`);
  return pull;
}

async function accept(packs: number, assignee = INES): Promise<void> {
  await acceptPulls([{ of: lot, packs, pack_mass_g: PACK_G }], {
    batch,
    needed_at: NEEDED,
    assignee,
  });
}

async function move(packs: readonly number[], at = AT): Promise<void> {
  await movePacks([{ pull: (await only()).rec, packs }], { at, way: 'fridge' });
}

async function stock(): Promise<{ total_g: number; thawed_g: number }> {
  const { larder } = await readFreezer();
  const found = larder.lots.find(({ rec }) => rec.rid === lot);
  return { total_g: found?.stock.total_g ?? 0, thawed_g: found?.stock.thawed_g ?? 0 };
}

async function syncAll(): Promise<void> {
  for (const phone of [ines, callum, ines, callum]) await phone.sync();
}

async function begin(): Promise<void> {
  server = new ModelServer();
  // Already asked: the test has no browser whose promise could be had.
  app.keeping = 'unsaid';
  ines = await Phone.open(server, INES);
  callum = await Phone.open(server, CALLUM);
  await ines.do(async () => {
    const plan = [{ food: HEART, mass_g: 2000 }];
    batch = await create('batch', { method: 'ground', stage: 'planned', plan });
    lot = await stored(HEART, PACK_G, 6 * PACK_G, '2026-08-12');
  });
  await syncAll();
}

beforeEach(begin);

describe('two phones', () => {
  it('that accept the same plan offline make one pull, and differ visibly over its packs', async () => {
    await ines.do(() => accept(3));
    await callum.do(() => accept(4));
    await syncAll();
    await callum.do(async () => {
      expect((await only()).rec.also['packs']?.map(({ value }) => value).sort()).toEqual([3, 4]);
    });
  });

  it('that move the same pack offline enter it once', async () => {
    await ines.do(() => accept(2));
    await syncAll();
    await ines.do(() => move([1]));
    await callum.do(() => move([1, 2], '2026-11-25T08:30:00Z'));
    await syncAll();
    for (const phone of [ines, callum])
      await phone.do(async () => {
        expect(await stock()).toEqual({ total_g: 6 * PACK_G, thawed_g: 2 * PACK_G });
        expect((await only()).to_do).toEqual([]);
        // They differ over when it was; food keeps from the earlier time on.
        expect((await conflicts()).map(({ entity }) => entity)).toEqual(['movement']);
        const { larder } = await readFreezer();
        expect(larder.lots[0]?.stock.thaws).toEqual([
          { since: '2026-11-25T08:30:00Z', mass_g: 2 * PACK_G, way: 'fridge' },
        ]);
      });
  });

  it('leave the ledger exact to the gram, whatever each ticks and takes back offline', async () => {
    const tick = fc.record({
      who: fc.constantFrom('ines', 'callum'),
      pack: fc.integer({ min: 1, max: 4 }),
      isMoved: fc.boolean(),
    });
    await fc.assert(
      fc.asyncProperty(fc.array(tick, { maxLength: 12 }), async (ticks) => {
        await begin();
        await ines.do(() => accept(4));
        await syncAll();
        const left = new Map<string, boolean>();
        for (const { who, pack, isMoved } of ticks) {
          left.set(`${who} ${pack}`, isMoved);
          await (who === 'ines' ? ines : callum).do(() => toggle(pack, isMoved));
        }
        await syncAll();
        // A pack is in the fridge when a phone left it ticked: the other's undo had not seen that.
        const packs = [...left].flatMap(([key, isMoved]) => (isMoved ? [key.slice(-1)] : []));
        const thawed_g = new Set(packs).size * PACK_G;
        for (const phone of [ines, callum])
          await phone.do(async () => {
            expect(await stock()).toEqual({ total_g: 6 * PACK_G, thawed_g });
            expect(frozen_g(await only())).toBe(4 * PACK_G - thawed_g);
          });
      }),
      { numRuns: 15 },
    );
  });
});

async function toggle(pack: number, isMoved: boolean): Promise<void> {
  if (isMoved) await move([pack]);
  else await unmovePacks((await only()).rec, [pack]);
}

describe('one phone', () => {
  it('moves a pack once however often it is tapped, and again after an undo', async () => {
    await ines.do(async () => {
      await accept(2);
      await move([1]);
      await move([1], '2026-11-25T11:00:00Z');
      expect(await stock()).toMatchObject({ thawed_g: PACK_G });
      const pull = (await only()).rec;
      await unmovePacks(pull, [1, 2]);
      await unmovePacks(pull, [1]);
      expect(await stock()).toMatchObject({ thawed_g: 0 });
      await move([1], '2026-11-25T12:00:00Z');
      const entries = await records('movement', { where: ({ what }) => what === 'thawed' });
      expect(entries.map(({ rid, values }) => [rid, values.at])).toEqual([
        [packId(pull.rid, 1), '2026-11-25T12:00:00Z'],
      ]);
    });
  });

  it('plans whole packs of the oldest lot, and no more once they are accepted', async () => {
    await ines.do(async () => {
      const lines = [{ food: HEART, mass_g: 2000 }];
      const newer = await stored(HEART, 500, 1000, '2026-10-01');
      const all = neededFor(batch, lines, await readFreezer());
      expect(all).toEqual([
        { food: HEART, missing_g: 0, pulls: [{ of: lot, packs: 4, pack_mass_g: PACK_G }] },
      ]);
      await accept(4);
      expect(neededFor(batch, lines, await readFreezer())).toEqual([]);
      // More is wanted: the rest of the old lot, then the newer one; one pull to a lot.
      const more = neededFor(batch, [{ food: HEART, mass_g: 4400 }], await readFreezer());
      expect(more[0]?.pulls).toEqual([
        { of: lot, packs: 6, pack_mass_g: PACK_G },
        { of: newer, packs: 2, pack_mass_g: 500 },
      ]);
      await move([1, 2, 3, 4]);
      expect(neededFor(batch, lines, await readFreezer())).toEqual([]);
    });
  });

  it('moves an opened pack as a pull of its own, to the gram', async () => {
    await ines.do(async () => {
      const liver = await stored(LIVER, 500, 1300, '2026-09-01');
      const lines = [{ food: LIVER, mass_g: 1200 }];
      const [needed] = neededFor(batch, lines, await readFreezer());
      expect(needed).toEqual({
        food: LIVER,
        missing_g: 0,
        pulls: [
          { of: liver, packs: 2, pack_mass_g: 500 },
          { of: liver, packs: 1, pack_mass_g: 300 },
        ],
      });
      const purpose = { batch, needed_at: NEEDED, assignee: INES };
      await acceptPulls(needed?.pulls ?? [], purpose);
      await acceptPulls(needed?.pulls ?? [], purpose);
      const { pulls } = await readFreezer();
      expect(pulls.map((pull) => pull.rec.values.packs).sort()).toEqual([1, 2]);
      await movePacks(
        pulls.map(({ rec, to_do }) => ({ pull: rec, packs: to_do })),
        { at: AT, way: 'fridge' },
      );
      const { larder } = await readFreezer();
      expect(larder.lots.find(({ rec }) => rec.rid === liver)?.stock.thawed_g).toBe(1300);
      expect(neededFor(batch, lines, await readFreezer())).toEqual([]);
    });
  });

  it('does not count for one batch what was thawed for another', async () => {
    await ines.do(async () => {
      await accept(4);
      await move([1, 2, 3, 4]);
      const other = await create('batch', { method: 'ground', stage: 'planned' });
      const needed = neededFor(other, [{ food: HEART, mass_g: 700 }], await readFreezer());
      expect(needed[0]?.pulls).toEqual([{ of: lot, packs: 2, pack_mass_g: PACK_G }]);
    });
  });

  it('asks for nothing anew of what is in the bowl already', async () => {
    await ines.do(async () => {
      await accept(2);
      await move([1, 2]);
      const plan = [{ food: HEART, mass_g: 2 * PACK_G }];
      const at = '2026-11-27T17:00:00Z';
      const used = { of: lot, what: 'used', mass_g: PACK_G, at, batch } as const;
      await create('movement', used);
      const putIn = [{ rid: 'a', food: HEART, mass_g: PACK_G, at }];
      const freezer = await readFreezer();
      expect(stillToGo(plan, putIn)).toEqual([{ food: HEART, mass_g: PACK_G }]);
      expect(neededFor(batch, stillToGo(plan, putIn), freezer)).toEqual([]);
      // Within what a scale is off (3 %), all of it is in.
      expect(stillToGo(plan, [{ rid: 'b', food: HEART, mass_g: 2 * PACK_G - 30, at }])).toEqual([]);
    });
  });

  it('counts what is thawed, also after what was moved for an earlier meal was fed', async () => {
    await ines.do(async () => {
      const supper = { needed_at: '2026-11-20T18:00:00Z', mealtime: null };
      await acceptPulls([{ of: lot, packs: 1, pack_mass_g: PACK_G }], {
        ...supper,
        assignee: null,
      });
      await move([1], '2026-11-19T09:00:00Z');
      const fed = { of: lot, what: 'used', mass_g: PACK_G, at: '2026-11-20T18:00:00Z' } as const;
      await create('movement', fed);
      await accept(1);
      const own = (await readFreezer()).pulls.filter(({ rec }) => rec.values.batch === batch);
      await movePacks(
        own.map(({ rec, to_do }) => ({ pull: rec, packs: to_do })),
        { at: AT, way: 'fridge' },
      );
      const lines = [{ food: HEART, mass_g: PACK_G }];
      expect(neededFor(batch, lines, await readFreezer())).toEqual([]);
    });
  });

  it('says what the freezer lacks once a pack that was to be pulled has gone another way', async () => {
    await ines.do(async () => {
      await accept(4);
      const used = { of: lot, what: 'used', mass_g: 4 * PACK_G, at: AT } as const;
      await create('movement', used);
      const lines = [{ food: HEART, mass_g: 4 * PACK_G }];
      const lacking = [{ food: HEART, pulls: [], missing_g: 2 * PACK_G }];
      expect(neededFor(batch, lines, await readFreezer())).toEqual(lacking);
      // A batch that needs its packs sooner has them.
      const sooner = await create('batch', { method: 'ground', stage: 'planned' });
      await acceptPulls([{ of: lot, packs: 1, pack_mass_g: PACK_G }], {
        batch: sooner,
        needed_at: '2026-11-26T17:00:00Z',
        assignee: INES,
      });
      const all = await readFreezer();
      expect(neededFor(sooner, [{ food: HEART, mass_g: PACK_G }], all)).toEqual([]);
      expect(neededFor(batch, lines, all)[0]?.missing_g).toBe(3 * PACK_G);
    });
  });

  it('says what the freezer lacks, and asks nothing of food that is not kept there', async () => {
    await ines.do(async () => {
      const lines = [
        { food: HEART, mass_g: 5000 },
        { food: LIVER, mass_g: 200 },
      ];
      const needed = neededFor(batch, lines, await readFreezer());
      expect(needed.map(({ food, missing_g }) => [food, missing_g])).toEqual([
        [HEART, 5000 - 6 * PACK_G],
      ]);
    });
  });

  it('drops the pulls of a plan that was taken away, and keeps what was moved', async () => {
    await ines.do(async () => {
      await accept(2);
      await move([1]);
      const [plan] = await records('batch');
      if (plan) await remove(plan);
      expect((await readFreezer()).pulls).toEqual([]);
      expect(await stock()).toMatchObject({ thawed_g: PACK_G });
    });
  });
});

describe('a pull that is changed', () => {
  const changes = { added: [2], taken: [1], at: AT, way: 'fridge', assignee: CALLUM } as const;

  it('is changed in all that was said of it', async () => {
    await ines.do(async () => {
      await accept(2);
      await move([1]);
      await changePull((await only()).rec, changes);
      expect(await only()).toMatchObject({ to_do: [1], rec: { values: { assignee: CALLUM } } });
      expect(await stock()).toMatchObject({ thawed_g: PACK_G });
    });
  });

  it('is changed in nothing where one part of it cannot be written', async () => {
    await ines.do(async () => {
      await accept(2);
      await move([1]);
      const wrong = { ...changes, assignee: 'nobody' };
      await expect(changePull((await only()).rec, wrong)).rejects.toThrow();
      expect((await only()).to_do).toEqual([2]);
    });
  });
});

describe('a pull that was taken off the plan', () => {
  it('has as many packs to move as are planned anew, whatever was moved for it before', async () => {
    await ines.do(async () => {
      await accept(3);
      await move([1, 2]);
      await remove((await only()).rec);
      const refrozen = { of: lot, what: 'refrozen', mass_g: 2 * PACK_G } as const;
      await create('movement', { ...refrozen, at: '2026-11-25T10:00:00Z' });
      await accept(2);
      expect((await only()).to_do).toHaveLength(2);
    });
  });

  it('has no pack more to move, whichever of its packs was moved before', async () => {
    await ines.do(async () => {
      await accept(3);
      await move([3]);
      await remove((await only()).rec);
      await accept(1);
      expect((await only()).to_do).toHaveLength(1);
    });
  });
});

describe('packs for a meal', () => {
  const meal = { needed_at: NEEDED, mealtime: null };

  async function pull(packs: number, assignee = INES): Promise<void> {
    const more = { of: lot, pack_mass_g: PACK_G, packs };
    await acceptPulls([forMeal(more, NEEDED, await readFreezer())], { ...meal, assignee });
  }

  it('come on top of those that are pulled for it already, moved or not', async () => {
    await ines.do(async () => {
      await pull(2);
      await move([1, 2]);
      await pull(1);
      expect(await only()).toMatchObject({ rec: { values: { packs: 3 } }, to_do: [3] });
    });
  });

  it('are moved by whoever was chosen last', async () => {
    await ines.do(async () => {
      await pull(1, CALLUM);
      await pull(1, INES);
      expect((await only()).rec.values.assignee).toBe(INES);
    });
  });
});
