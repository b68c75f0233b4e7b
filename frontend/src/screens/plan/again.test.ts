import { describe, expect, it } from 'vitest';
import type { Rec } from '../../db/store.svelte';
import { emptyLarder, type Larder } from '../stores/larder';
import { wholeEnergy_kcal } from './judged';
import { againValues, bySize, lookedUp, madeOf, massFor, scaled, tooCoarse } from './again';

const made = [
  { food: 'heart', mass_g: 900 },
  { food: 'neck', mass_g: 599 },
  { food: 'kelp', mass_g: 1 },
];

function lot(food: string, frozen_on: string, total_g: number, pack_mass_g: number): unknown {
  const rid = `${food} ${frozen_on}`;
  const stock = { total_g, thawed_g: 0, in_place_g: total_g, thaws: [] };
  return { rec: { rid, values: { food, frozen_on, pack_mass_g } }, stock, movements: [] };
}

const larder = {
  ...emptyLarder,
  lots: [
    lot('heart', '2026-10-02', 1000, 500),
    lot('heart', '2026-08-12', 450, 450),
    lot('neck', '2026-09-01', 200, 200),
  ],
} as unknown as Larder;

describe('a batch made again', () => {
  it('is what was weighed in, else what was planned', () => {
    expect(madeOf({ plan: made }, [])).toEqual(made);
    const weighed = [
      { food: 'heart', mass_g: 400.4 },
      { food: 'neck', mass_g: 600 },
      { food: 'heart', mass_g: 500 },
    ];
    expect(madeOf({ plan: made }, weighed)).toEqual([
      { food: 'heart', mass_g: 900 },
      { food: 'neck', mass_g: 600 },
    ]);
  });

  it('is scaled in proportion, to the gram, and loses no supplement', () => {
    for (const total_g of [3, 10, 375, 1500, 4321, 100_000]) {
      const lines = scaled(made, total_g);
      expect(lines.reduce((sum, { mass_g }) => sum + mass_g, 0)).toBe(total_g);
      expect(lines.every(({ mass_g }) => mass_g >= 1)).toBe(true);
    }
    expect(scaled(made, 3000)).toEqual(made.map((line) => ({ ...line, mass_g: line.mass_g * 2 })));
    expect(scaled(made, 2)).toEqual([]);
  });

  it('says where a gram is many times what is in proportion', () => {
    // 3 g of a powder in 20 kg; in 500 g that is 0.075 g, of which a gram is 13.3 times as much.
    const large = [
      { food: 'heart', mass_g: 19_997 },
      { food: 'powder', mass_g: 3 },
    ];
    const [found, ...others] = tooCoarse(large, scaled(large, 500));
    expect(others).toEqual([]);
    expect(found).toMatchObject({ food: 'powder', mass_g: 1 });
    expect(found?.times).toBeCloseTo(13.33, 2);
    expect(tooCoarse(large, scaled(large, 6667))).toEqual([]);
    expect(tooCoarse(large, [])).toEqual([]);
  });

  it('is as large as the dogs need over the days; unknown when a need is', () => {
    // 1500 g hold 2250 kcal, so 3000 kcal are 2000 g.
    expect(massFor(made, 2250, 3000)).toBe(2000);
    expect(massFor(made, 2250, null)).toBeNull();
    expect(massFor(made, 0, 3000)).toBeNull();
  });

  it('has no size for the dogs while the energy of one of its foods is not known', () => {
    const kelpUnknown = wholeEnergy_kcal({ energy_kcal: 2249, missing: ['kelp'] });
    expect(massFor(made, kelpUnknown, 3000)).toBeNull();
    expect(wholeEnergy_kcal({ energy_kcal: 2250, missing: [] })).toBe(2250);
  });

  it('looks its packs up in store, the oldest first, and says what is missing', () => {
    const [heart, neck, kelp] = lookedUp(larder, made);
    expect(heart).toEqual({
      food: 'heart',
      mass_g: 900,
      packs: [
        { lot: 'heart 2026-08-12', packs: 1, pack_mass_g: 450 },
        { lot: 'heart 2026-10-02', packs: 1, pack_mass_g: 500 },
      ],
      lacking_g: 0,
    });
    expect(neck).toMatchObject({ packs: [{ packs: 1 }], lacking_g: 399 });
    expect(kelp).toMatchObject({ packs: [], lacking_g: 1 });
  });

  it('counts packs of one mass together', () => {
    const two = { lot: 'a', packs: 2, pack_mass_g: 500 };
    const packs = [two, { lot: 'b', packs: 1, pack_mass_g: 250 }, { ...two, lot: 'c', packs: 1 }];
    expect(bySize(packs)).toEqual([
      [500, 3],
      [250, 1],
    ]);
  });

  it('is planned the same way, without what only the first one had', () => {
    const first = {
      rid: 'a',
      values: { number: 4, name: 'Stew', method: 'cooked', stage: 'done', yield_g: 900 },
    } as unknown as Rec<'batch'>;
    const values = againValues(first, {
      lines: made,
      dogs: ['Morag'],
      days: 2,
      plannedFor: '2026-12-01',
    });
    expect(values).toEqual({
      name: 'Stew',
      method: 'cooked',
      plate_mm: null,
      planned_for: '2026-12-01',
      days: 2,
      dogs: ['Morag'],
      plan: made,
      stage: 'planned',
    });
  });
});
