import { describe, expect, it } from 'vitest';
import { smallestAdditions, type Additions } from '../../domain/proposal-mend';
import type { FoodRow, Tables } from '../../domain/tables';
import { emptyLarder, type Ledgered } from '../stores/larder';
import { careWith, mendAskOf, stillShort, weighed, withAdded } from './adding';
import { kitchenOf, verdict } from './judged';
import { nothingLately, type Proposing } from './proposing';

function food(key: string, energy: number, v: Record<string, number>, more: Partial<FoodRow> = {}) {
  return { key, name: key, group: 'red_meat', style: 'raw', state: 'raw', bone_share: null, bone_source: null, energy_kcal_per_100g: energy, energy_method: 'atwater', source: 's', locator: 'l', keeping_class: null, v, ...more }; // prettier-ignore
}

const limit = (minimum: number | null, maximum: number | null) => ({ minimum, recommended: minimum, maximum, source: 's', locator: 'l', verified: 'read' as const }); // prettier-ignore

// Made-up limits and foods, so that what mends a batch can be worked out by hand.
const tables = {
  nutrients: [
    { key: 'zinc', name: 'Zinc', unit: 'mg', decimals: 1, group: 'trace elements' },
    { key: 'iodine', name: 'Iodine', unit: 'µg', decimals: 0, group: 'trace elements' },
  ],
  group_upper: {},
  sources: {},
  hazards: [{ key: 'onion', name: 'Onion', synonyms: ['onion'], severity: 'stop' }],
  cautions: [{ key: 'kelp', moment: 'seaweed', text: 'The iodine differs much.', source: 's' }],
  foods: [
    food('meat', 200, { zinc: 2, iodine: 10 }),
    food('oyster', 50, { zinc: 40, iodine: 50 }, { group: 'shellfish' }),
    food('weed', 100, { zinc: 0, iodine: 4000 }, { group: 'seaweed', style: 'dry' }),
    food('onion', 40, { zinc: 400, iodine: 0 }, { group: 'vegetable' }),
    food('cooked meat', 40, { zinc: 400, iodine: 0 }, { style: 'cooked' }),
  ],
  standards: [{ key: 'nrc-2006', name: 'NRC 2006', stages: { adult: { zinc: limit(15, null), iodine: limit(100, 1000) } } }], // prettier-ignore
  ratios: { calcium_to_phosphorus: { stages: { adult: { minimum: 1, maximum: 2, source: 's' } } } },
} as unknown as Tables;

const kitchen = kitchenOf(tables, []);
const lines = [{ food: 'meat', mass_g: 1000 }];
const judge = (portions: readonly { food: string; mass_g: number }[]) => verdict(kitchen, portions, []); // prettier-ignore

function given(more: Partial<Proposing> = {}): Proposing {
  return { kitchen, larder: emptyLarder, eaters: [], dogs: [], lately: nothingLately, choices: [], days: 2, today: '2026-11-28', now: '2026-11-28T09:00:00.000Z', fridge_c: null, ...more }; // prettier-ignore
}

function solved(proposing: Proposing): Additions {
  const ask = mendAskOf(proposing, lines, judge(lines));
  if (ask === null) throw new Error('nothing asked');
  return smallestAdditions(ask.problem, ask.batch, ask.offers);
}

describe('what may be added to a batch', () => {
  it('closes all that is short together, with what a household may buy', () => {
    const found = solved(given());
    expect(found.additions.map((each) => each.food).sort()).toEqual(['oyster', 'weed']);
    expect(found.missed).toEqual([]);
    const { added, after } = weighed(found, { kitchen, lines, judge, held_kcal: null });
    expect(added.every(({ mass_g }) => Number.isInteger(mass_g))).toBe(true);
    expect(judge(withAdded(lines, added)).rows).toEqual(after.rows);
    expect(after.rows.filter(({ word }) => word !== 'met')).toEqual([]);
  });

  it('is asked only where something is short', () => {
    const fine = [...lines, { food: 'oyster', mass_g: 100 }, { food: 'weed', mass_g: 10 }];
    expect(mendAskOf(given(), fine, judge(fine))).toBeNull();
  });

  it('comes from store first, without what the batch takes already', () => {
    const lot = { rec: { rid: 'l', values: { food: 'oyster', pack_mass_g: 100 } }, stock: { total_g: 500, thawed_g: 0, in_place_g: 500, thaws: [] }, movements: [], counts: [] } as unknown as Ledgered<'lot'>; // prettier-ignore
    const proposing = given({ larder: { ...emptyLarder, lots: [lot] } });
    const ask = mendAskOf(proposing, [...lines, { food: 'oyster', mass_g: 20 }], judge(lines));
    expect(ask?.offers[0]).toEqual({ food: 'oyster', stored_g: 480 });
    const [first] = solved(proposing).additions.filter((each) => each.food === 'oyster');
    expect(first?.is_bought).toBe(false);
  });

  it('leaves out what somebody left out, and may add to what is pinned', () => {
    const out = given({ choices: [{ food: 'oyster', least_g: 0, most_g: 0 }] });
    expect(solved(out).additions.some((each) => each.food === 'oyster')).toBe(false);
    const pinned = given({ choices: [{ food: 'oyster', least_g: 9, most_g: 9 }] });
    expect(solved(pinned).additions.some((each) => each.food === 'oyster')).toBe(true);
  });

  it('takes less where the rest makes room for it', () => {
    const found = solved(given());
    const sum = (held_kcal: number | null) =>
      weighed(found, { kitchen, lines, judge, held_kcal }).added.reduce((all, { mass_g }) => all + mass_g, 0); // prettier-ignore
    expect(sum(1000)).toBeLessThan(sum(null));
  });

  it('says what stays short, and what to mind', () => {
    const missed = [{ key: 'zinc', word: 'short' as const, amount: 12, limit: 15 }, { key: 'iodine', word: 'short' as const, amount: null, limit: 100 }]; // prettier-ignore
    const none = { additions: [], missed, short: 0, counted_g: 0 };
    expect(stillShort(none, kitchen)).toEqual(['Zinc 12 of 15 mg', 'Iodine ? of 100 µg']);
    expect(careWith(kitchen, lines, 'weed').map(({ key }) => key)).toEqual(['kelp']);
    expect(careWith(kitchen, [{ food: 'weed', mass_g: 1 }], 'weed')).toEqual([]);
  });
});
