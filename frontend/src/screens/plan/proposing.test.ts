import { describe, expect, it } from 'vitest';
import { propose, type Proposal } from '../../domain/proposal';
import type { Tables } from '../../domain/tables';
import { emptyLarder, type Stocked } from '../stores/larder';
import type { Eater } from './eaters';
import { kitchenOf } from './judged';
import { eaterOf, foodOf, lotOf, proposingOf, pullOf, tablesOf } from './proposing.examples';
import {
  askedAbout_g,
  linesOf,
  notProposable,
  nothingLately,
  problemOf,
  settled,
  withUncounted,
  type Proposing,
} from './proposing';
import { missedWords, packLine, proofWords, rejectedWords, settledWords } from './proposal-words';
import type { PullState } from './pulls';

const proposal: Proposal = {
  lines: [
    { lot: 'a', food: 'beef', mass_g: 1000, packs: 2, left_g: 0 },
    { lot: 'b', food: 'beef', mass_g: 502.4, packs: 2, left_g: 497.6 },
    { lot: 'c', food: 'hen', mass_g: 1500, packs: 3, left_g: 0 },
    { lot: '', food: 'oil', mass_g: 3.4, packs: null, left_g: 0 },
  ],
  mass_g: 3005.8,
  energy_kcal: 5000,
  missed: [],
  aims: {
    over: 0,
    energy: 0,
    practice: 0,
    short: 0,
    lacked: 0,
    oldest: 0,
    left: 0,
    variety: 0,
    cost: 0,
  },
  is_proved: true,
};

describe('a proposal as a plan', () => {
  it('has one line for each food, in grams that can be weighed', () => {
    expect(linesOf(proposal)).toEqual([
      { food: 'beef', mass_g: 1500 },
      { food: 'hen', mass_g: 1500 },
      { food: 'oil', mass_g: 3 },
    ]);
  });

  it('leaves out what is too little to weigh', () => {
    // 0.07 g of vitamin D powder for one small dog would become a gram, fourteen times as much.
    const powder = { lot: 'd', food: 'powder', mass_g: 0.07, packs: 1, left_g: 99.93 };
    const foods = linesOf({ ...proposal, lines: [...proposal.lines, powder] });
    expect(foods.map(({ food }) => food)).toEqual(['beef', 'hen', 'oil']);
  });

  it('keeps what somebody pinned to the gram', () => {
    const pinned = { lot: 'b', food: 'fish', mass_g: 503, packs: 2, left_g: 497 };
    const lines = [...proposal.lines, pinned];
    const choices = [{ food: 'fish', least_g: 503, most_g: 503 }];
    expect(linesOf({ ...proposal, lines }, choices).at(-1)).toEqual({ food: 'fish', mass_g: 503 });
  });

  it('keeps what somebody pinned and this phone cannot count', () => {
    const kitchen = kitchenOf(tablesOf([foodOf('beef', 'red_meat', 200)]), []);
    const choices = [
      { food: 'beef', least_g: 500, most_g: 500 },
      { food: 'stew of the other phone', least_g: 300, most_g: 300 },
      { food: 'left out', least_g: 0, most_g: 0 },
    ];
    const given = proposingOf(kitchen.tables as Tables, [], { eaters: [eaterOf(500)], days: 2, choices }); // prettier-ignore
    const problem = problemOf(given);
    if (problem === null) throw new Error('no problem');
    const lines = linesOf(propose(problem), choices);
    expect(lines).toEqual([{ food: 'beef', mass_g: 500 }]);
    expect(withUncounted(lines, choices, kitchen)).toEqual([
      { food: 'beef', mass_g: 500 },
      { food: 'stew of the other phone', mass_g: 300 },
    ]);
  });

  it('says why there is none', () => {
    const morag = { name: 'Morag', energy_kcal_per_day: 800 };
    const angus = { name: 'Angus', energy_kcal_per_day: null };
    expect(notProposable([morag])).toBeNull();
    expect(notProposable([])?.title).toContain('no dog is chosen');
    expect(notProposable([morag, angus])?.title).toContain('the need of Angus is not known');
  });

  it('asks about no more of a food than may be taken', () => {
    const lots = [{ key: 'a', food: 'beef', mass_g: 120, pack_g: 500 }];
    expect(askedAbout_g({ lots }, 'beef')).toBe(120);
    expect(askedAbout_g({ lots: [{ key: 'a', food: 'beef', mass_g: 1500, pack_g: 500 }] }, 'beef')).toBe(500); // prettier-ignore
    expect(askedAbout_g({ lots: [{ key: 'a', food: 'beef', mass_g: 1500 }] }, 'beef')).toBe(100);
  });

  it('says of what is settled that a dog may not have it', () => {
    const heart = { food: 'heart', least_g: 700, most_g: 700 };
    expect(settledWords(heart, [], 'metric')).toBe('700 g');
    expect(settledWords(heart, ['heart'], 'metric')).toContain('not put in');
    expect(settledWords({ food: 'heart', most_g: 0 }, ['heart'], 'metric')).toBe('left out');
  });

  it('remembers what somebody changed, added or left out', () => {
    const before = linesOf(proposal);
    const after = [
      { food: 'beef', mass_g: 1500 },
      { food: 'hen', mass_g: 900 },
      { food: 'fish', mass_g: 80 },
    ];
    expect(settled([{ food: 'hen', most_g: 0 }], before, after)).toEqual([
      { food: 'hen', least_g: 900, most_g: 900 },
      { food: 'fish', least_g: 80, most_g: 80 },
      { food: 'oil', least_g: 0, most_g: 0 },
    ]);
  });

  it('is told by the pack', () => {
    const told = { frozen: '2026-08-12', today: '2026-10-15', units: 'metric' as const };
    const [, begun] = proposal.lines;
    if (!begun) throw new Error('no line');
    expect(packLine(begun, told)).toContain('of the pack left');
    expect(packLine(begun, told)).toContain('frozen 12 Aug');
    expect(packLine({ ...begun, lot: '' }, told)).toBe('To buy: not in store');
  });

  it('says what the stock cannot give and how sure it is', () => {
    const short = { key: 'energy', word: 'short' as const, amount: 3000, limit: 4100 };
    expect(missedWords([short])[0]).toContain('3000 of the 4100 kcal');
    expect(missedWords([{ key: 'bone', word: 'over', amount: 0.14, limit: 0.1 }])[0]).toContain(
      '14 % bone, the limit is 10 %',
    );
    const fat = { key: 'fat', word: 'over' as const, amount: 55.42, limit: 30 };
    expect(missedWords([fat])).toEqual([
      'It may hold 55.4 g fat per 1000 kcal; the limit is 30.0 g.',
    ]);
    expect(proofWords(proposal)).toBeNull();
    expect(proofWords({ ...proposal, is_proved: false })).toContain('found in a moment');
  });

  it('says what a food left out would have cost', () => {
    const cost = { food: 'hen', mass_g: 500, aim: 'oldest' as const, worse_by: 12 };
    expect(rejectedWords(cost, 'metric')).toContain('12 days newer');
    expect(rejectedWords({ ...cost, aim: 'forbidden' }, 'metric')).toContain('may not have it');
    expect(rejectedWords({ ...cost, aim: null }, 'metric')).toContain('as good');
    const lots = [{ age_days: null, price_per_kg: 5 }, { age_days: 3, price_per_kg: null }]; // prettier-ignore
    expect(rejectedWords(cost, 'metric', { lots })).toContain('if what has no date is the newest');
    const dear = { ...cost, aim: 'cost' as const, worse_by: 3.2 };
    expect(rejectedWords(dear, 'metric', { lots })).toContain('3.20 more, if what has no price');
    expect(rejectedWords(dear, 'metric', { lots: lots.slice(0, 1) })).toContain('3.20 more.');
    // Without liver the batch is short of vitamin A: with it, it is better, not as good.
    const better = rejectedWords({ ...cost, aim: null }, 'metric', { isLeftOut: true });
    expect(better).toContain('You left it out');
    expect(better).toContain('as good or better');
  });
});

describe('what may be taken', () => {
  const tables = tablesOf([foodOf('heart', 'heart', 110), foodOf('spleen', 'organ', 110)], {
    heart: ['beef', 'heart'],
    spleen: ['beef', 'spleen'],
  });

  function lot(rid: string, food: string, price: object | null) {
    return lotOf(rid, food, { mass_g: 2000, price });
  }

  function problem(lots: readonly Stocked<'lot'>[], more: Partial<Proposing> = {}) {
    return problemOf(proposingOf(tables, lots, { eaters: [eaterOf(800)], days: 2, ...more }));
  }

  it('is nothing that another batch or a meal was promised', () => {
    const pulls = [pullOf('a', 'saturday', 1), pullOf('a', null, 1), pullOf('a', 'this', 2)];
    const found = problem([lot('a', 'heart', null)], { pulls, batch: 'this' });
    expect(found?.lots.map(({ mass_g }) => mass_g)).toEqual([1000]);
  });

  it('is what thawed after all that was moved for a meal was fed', () => {
    const at = '2026-11-27T18:00:00Z';
    const thaws = [{ since: at, mass_g: 500, way: 'fridge' as const }];
    const found = lot('a', 'heart', null);
    const stock = { ...found.stock, total_g: 500, thawed_g: 500, in_place_g: 0, thaws };
    const moved = (since: string) =>
      [{ values: { of: 'a', mass_g: 500, at: since, way: 'fridge' }, also: {} }] as unknown as PullState['moved']; // prettier-ignore
    const masses = (since: string) =>
      problem([{ ...found, stock }], {
        pulls: [{ ...pullOf('a', null, 1), to_do: [], moved: moved(since) }],
      })?.lots.map(({ mass_g }) => mass_g);
    expect(masses('2026-11-20T18:00:00Z')).toEqual([500]);
    expect(masses(at)).toEqual([]);
  });

  it('is nothing in the fridge that is past its day', () => {
    const chart = [{ class: 'organs', place: 'fridge', days_min: 1, days_max: 2 }];
    const heart = { ...foodOf('heart', 'heart', 110), keeping_class: 'organs' };
    const charted = { ...tablesOf([heart]), keeping: chart } as unknown as Tables;
    const bought = (rid: string, bought_on: string) => {
      const found = lot(rid, 'heart', null);
      const values = { ...found.rec.values, place: 'fridge' as const, frozen_on: null, bought_on };
      return { ...found, rec: { ...found.rec, values } };
    };
    const lots = [bought('old', '2026-11-18'), bought('new', '2026-11-27')];
    const found = problemOf(proposingOf(charted, lots, { eaters: [eaterOf(800)], days: 2 }));
    expect(found?.lots.map(({ key }) => key)).toEqual(['new']);
  });

  it('is no food of the household that was put away, unless somebody asks for it', () => {
    const given = proposingOf(tables, [lot('a', 'ours', null)], { eaters: [eaterOf(800)], days: 2 }); // prettier-ignore
    const ours = { rid: 'ours', values: { name: 'Stew', style: 'cooked', energy_kcal_per_100g: 90 } }; // prettier-ignore
    const lotsWith = (archived: boolean, choices: Proposing['choices'] = []) => {
      const foods = [{ ...ours, values: { ...ours.values, archived } }] as unknown as Proposing['larder']['foods']; // prettier-ignore
      const larder = { ...given.larder, foods };
      return problemOf({ ...given, kitchen: kitchenOf(tables, foods), larder, choices })?.lots.length; // prettier-ignore
    };
    expect([lotsWith(false), lotsWith(true)]).toEqual([1, 0]);
    expect(lotsWith(true, [{ food: 'ours', least_g: 500 }])).toBe(1);
  });

  it('is nothing that is named after what harms dogs', () => {
    const hazards = [{ key: 'onion', name: 'Onions', synonyms: ['onion'], severity: 'stop' }];
    const foods = [foodOf('stew with onion', 'own', 90), foodOf('heart', 'heart', 110)];
    const hazardous = { ...tablesOf(foods), hazards } as unknown as Tables;
    const lots = [lot('a', 'stew with onion', null), lot('b', 'heart', null)];
    const found = problemOf(proposingOf(hazardous, lots, { eaters: [eaterOf(800)], days: 2 }));
    expect(found?.lots.map(({ key }) => key)).toEqual(['b']);
  });

  it('is no copy of what a dog may not have', () => {
    const foods = [
      { rid: 'ours', values: { name: 'Heart, ours', copied_from: 'heart' } },
      { rid: 'other', values: { name: 'Something else' } },
    ] as unknown as Proposing['larder']['foods'];
    const dogs = [{ rid: 'morag', values: { may_not_have: ['heart'] } }] as unknown as Proposing['dogs']; // prettier-ignore
    const larder = { ...emptyLarder, foods };
    expect(problem([], { dogs, larder })?.forbidden).toEqual(['heart', 'ours']);
  });

  it('compares prices of one currency only', () => {
    const euros = { minor: 1000, currency: 'EUR' };
    const pounds = { minor: 100, currency: 'GBP' };
    const lots = [lot('a', 'heart', euros), lot('b', 'heart', pounds), lot('c', 'heart', euros)];
    expect(problem(lots)?.lots.map((each) => each.price_per_kg)).toEqual([5, null, 5]);
  });

  it('is known as an organ by its part, and no more of it than is common', () => {
    const found = problem([lot('a', 'heart', null), lot('b', 'spleen', null)]);
    expect(found?.ingredients.map((each) => each.is_organ)).toEqual([false, true]);
    expect(found).toMatchObject({ organ_practice: 0.1, organ_cap: null });
    const dogs = [{ rid: 'morag', values: { caps: { organ_pct: 25 } } }] as unknown as Proposing['dogs']; // prettier-ignore
    expect(problem([], { dogs })).toMatchObject({ organ_practice: null, organ_cap: 0.25 });
  });
});

describe('what a proposal is asked to keep', () => {
  const row = (recommended: number, maximum: number) => ({
    minimum: null,
    recommended,
    maximum,
    source: 's',
    locator: 'l',
    verified: 'read',
  });
  // Made-up limits; which nutrients have a highest is all that matters here.
  const limits = { lysine: row(2, 5), calcium: row(3000, 4500) };
  const tables = {
    nutrients: [
      { key: 'lysine', name: 'Lysine', unit: 'g', decimals: 1, group: 'amino acids' },
      { key: 'calcium', name: 'Calcium', unit: 'mg', decimals: 0, group: 'minerals' },
    ],
    group_upper: {},
    sources: {},
    foods: [],
    standards: [{ key: 'nrc-2006', name: 'NRC 2006', stages: { growth_early: limits } }],
    ratios: {
      calcium_to_phosphorus: {
        stages: { growth_early: { minimum: 1, maximum: 1.6, source: 's' } },
      },
    },
  } as unknown as Tables;
  const eater = {
    rid: 'pup',
    name: 'Tansy',
    stage: 'growth_early',
    energy_kcal_per_day: 800,
    requirement: null,
    size: {},
    grown_share: null,
  } as unknown as Eater;

  it('is no limit that every lean meat passes, though the verdict tells of it', () => {
    const problem = problemOf({
      kitchen: kitchenOf(tables, []),
      larder: emptyLarder,
      eaters: [eater],
      dogs: [],
      lately: nothingLately,
      choices: [],
      days: 2,
      today: '2026-11-28',
      now: '2026-11-28T09:00:00.000Z',
      fridge_c: null,
    });
    expect(problem?.energy_kcal).toBe(1600);
    const highest = problem?.wanted?.map(({ nutrient, maximum }) => [nutrient, maximum]);
    expect(highest).toEqual([
      ['lysine', null],
      ['calcium', 4500],
    ]);
  });
});
