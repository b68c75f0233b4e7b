import { describe, expect, it } from 'vitest';
import type { Rec } from '../../db/store.svelte';
import type { Bag, Batch, Lot } from '../../domain/kinds';
import type { Tables } from '../../domain/tables';
import { keepingClasses } from '../plan/catalogue';
import { labelMasses_g, labelOf, packCount, type LabelSetting, type Thing } from './labels';
import { emptyLarder, type Larder } from './larder';
import { stock } from './stock-list';
import { bagUseBy } from './store-rows';

function thing<E extends 'lot' | 'bag'>(entity: E, values: Lot | Bag, mass_g: number): Thing {
  const rec = { rid: `${entity}-1`, entity, values, made_by: 'callum' } as unknown as Rec<E>;
  return { rec, stock: stock([], [], mass_g), movements: [], counts: [] } as unknown as Thing;
}

const bag: Bag = {
  batch: 'b',
  mass_g: 620,
  count: 6,
  place: 'freezer',
  packed_at: '2026-11-25T23:30:00Z',
  use_by: '2027-02-25',
};

function larderWith(batch: Partial<Batch>): Larder {
  const values = { number: 41, method: 'ground', stage: 'done', ...batch };
  return { ...emptyLarder, batches: new Map([['b', { rid: 'b', values } as Rec<'batch'>]]) };
}

const keeping = [
  { class: 'red_meat_pieces', place: 'thawed', days_min: 3, days_max: 5, source: 's' },
  { class: 'ground_meat', place: 'thawed', days_min: 1, days_max: 2, source: 's' },
  { class: 'cooked', place: 'thawed', days_min: 3, days_max: 4, source: 's' },
  // Cold food storage chart of FoodSafety.gov: red meat keeps 3 to 5 days in the fridge.
  { class: 'red_meat_pieces', place: 'fridge', days_min: 3, days_max: 5, source: 's' },
  { class: 'red_meat_pieces', place: 'freezer', days_min: 120, days_max: 365, source: 's' },
] as unknown as LabelSetting['keeping'];

const setting: LabelSetting = {
  names: () => 'Beef heart',
  classOf: () => 'red_meat_pieces',
  keeping,
  today: '2026-11-28',
  zone: 'Europe/Berlin',
  units: 'metric',
  origin: 'https://dogs.example',
  isRawFood: (food) => food === 'heart',
  nameOf: () => 'Callum',
};

describe('labelOf', () => {
  it('says what a bag holds, who made it, until when and that it is raw', () => {
    expect(labelOf(thing('bag', bag, 3720), larderWith({}), setting)).toEqual({
      rid: 'bag-1',
      title: 'Batch 41, ground',
      mass: '620 g',
      made: 'Bagged 26 Nov 2026, Callum', // Half past midnight in the household's zone.
      until: 'Use by 25 Feb 2027',
      isRaw: true,
      code: 'https://dogs.example/stores/bag-1',
    });
  });

  it('warns of no germs on what was cooked', () => {
    const label = labelOf(thing('bag', bag, 620), larderWith({ method: 'cooked' }), setting);
    expect(label.isRaw).toBe(false);
  });

  it('says of a lot when it was frozen', () => {
    const lot: Lot = { food: 'heart', pack_mass_g: 500, frozen_on: '2026-09-01' };
    const label = labelOf(thing('lot', lot, 1000), emptyLarder, setting);
    expect(label).toMatchObject({ title: 'Beef heart', made: 'Frozen 1 Sep 2026', isRaw: true });
  });
});

describe('the day on the label of a lot', () => {
  const bought = { food: 'heart', pack_mass_g: 500, bought_on: '2026-11-26' } as const;
  const until = (lot: Partial<Lot>) =>
    labelOf(thing('lot', { ...bought, ...lot }, 500), emptyLarder, setting).until;

  it('is one of safety in the fridge, and of quality in the freezer or on the pack', () => {
    expect(until({ place: 'fridge' })).toBe('Use by 29 Nov 2026');
    expect(until({ place: 'freezer', frozen_on: '2026-11-27' })).toBe('Best by 27 Mar 2027');
    expect(until({ place: 'fridge', best_by: '2026-12-01' })).toBe('Best by 1 Dec 2026');
  });

  it('goes by the day it was frozen where nobody said that it lies in the freezer', () => {
    expect(until({ frozen_on: '2026-11-27' })).toBe('Best by 27 Mar 2027');
  });
});

describe('packCount', () => {
  it('counts an opened pack, and none where nothing is left', () => {
    expect(packCount(thing('bag', bag, 1240), 'metric')).toBe(2);
    expect(packCount(thing('bag', bag, 1300), 'metric')).toBe(3);
    expect(packCount(thing('bag', bag, 0), 'metric')).toBe(0);
  });
});

describe('labelMasses_g', () => {
  it('says of an opened pack what is left of it, and adds up to what there is', () => {
    // 1.3 kg in bags of 620 g.
    const some = thing('bag', bag, 1300);
    expect(labelMasses_g(some, 3, 'metric')).toEqual([620, 620, 60]);
    expect(labelMasses_g(some, 4, 'metric')).toEqual([620, 620, 60, 620]);
    expect(labelMasses_g(thing('bag', bag, 1240), 2, 'metric')).toEqual([620, 620]);
    expect(labelOf(some, larderWith({}), setting, 60).mass).toBe('60 g');
  });
});

describe('bagUseBy', () => {
  const thawed = { place: 'thawed', from: '2026-11-28' } as const;
  const until = (batch: Partial<Batch>) =>
    bagUseBy(thing('bag', bag, 620) as never, larderWith(batch), setting, thawed)?.day;

  it('goes by what is in the batch, as it was made', () => {
    const plan = [{ food: 'heart', mass_g: 1000 }];
    expect(until({ plan })).toBe('2026-11-29');
    expect(until({ plan, method: 'bone_in' })).toBe('2026-12-01');
  });

  it('takes the shortest time there is while nobody knows what is in it', () => {
    expect(until({ method: 'bone_in' })).toBe('2026-11-29');
    expect(until({ method: 'cooked' })).toBe('2026-12-01');
  });

  it('goes by what was weighed in before what was planned', () => {
    const larder = larderWith({ plan: [{ food: 'heart', mass_g: 500 }], method: 'bone_in' });
    const classOf = (food: string) => (food === 'heart' ? 'red_meat_pieces' : 'ground_meat');
    const putIn = [{ food: 'heart' }, { food: 'mince' }];
    const some = thing('bag', bag, 620) as never;
    const until = bagUseBy(some, larder, { ...setting, classOf }, { ...thawed, putIn });
    expect(until?.day).toBe('2026-11-29');
  });

  it('counts a copy of a food as what it was made of', () => {
    const foods = [
      { key: 'heart', keeping_class: 'red_meat_pieces' },
      { key: 'mince', keeping_class: 'ground_meat' },
    ];
    const own = { rid: 'ours', values: { name: 'Our mince', copied_from: 'mince' } };
    const classOf = keepingClasses({ foods } as unknown as Tables, [own as Rec<'food'>]);
    const plan = ['heart', 'ours'].map((food) => ({ food, mass_g: 500 }));
    const larder = larderWith({ plan, method: 'bone_in' });
    const some = thing('bag', bag, 620) as never;
    expect(bagUseBy(some, larder, { ...setting, classOf }, thawed)?.day).toBe('2026-11-29');
    expect(classOf('nobody knows')).toBeNull();
  });
});
