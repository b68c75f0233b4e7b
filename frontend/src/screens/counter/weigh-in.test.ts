import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { scaleMass } from '../../ui/words';
import {
  batchIfFinished,
  beamEnd,
  bowl_g,
  fits,
  isAllIn,
  lastPutIn,
  mergedPlan,
  nextFood,
  planned_g,
  reading_g,
  scaleDifference,
  scaleSays,
  standing,
  stepWords,
  toGo_g,
  tolerance_g,
  weighLines,
  wentIn,
  type PutIn,
} from './weigh-in';

const plan = [
  { food: 'heart', mass_g: 600 },
  { food: 'liver', mass_g: 100 },
];

function putIn(food: string, mass_g: number, at = '2026-11-25T09:00:00Z'): PutIn {
  return { rid: `${food}-${at}`, food, mass_g, at };
}

const nothingSkipped: ReadonlySet<string> = new Set();

describe('weighLines', () => {
  it('adds the put-ins of one food and marks it done within the tolerance', () => {
    const lines = weighLines(plan, [putIn('heart', 400), putIn('heart', 190)]);
    expect(lines).toEqual([
      { food: 'heart', planned_g: 600, in_bowl_g: 590, is_done: true },
      { food: 'liver', planned_g: 100, in_bowl_g: 0, is_done: false },
    ]);
  });

  it('lists a food that was never planned after the planned ones', () => {
    const lines = weighLines(plan, [putIn('egg', 50)]);
    expect(lines[2]).toEqual({ food: 'egg', planned_g: null, in_bowl_g: 50, is_done: true });
  });

  it('merges two plan lines of the same food', () => {
    expect(mergedPlan([...plan, { food: 'heart', mass_g: 50 }])).toEqual([
      { food: 'heart', mass_g: 650 },
      { food: 'liver', mass_g: 100 },
    ]);
  });
});

describe('isAllIn', () => {
  const none = { food: null, digits: '' };

  it('waits for a food that was chosen besides the plan, as for the second without one', () => {
    for (const planned of [plan, []]) {
      const lines = weighLines(planned, [putIn('heart', 600), putIn('liver', 100)]);
      expect(isAllIn(lines, nothingSkipped, none)).toBe(true);
      expect(isAllIn(lines, nothingSkipped, { food: 'egg', digits: '' })).toBe(false);
      expect(isAllIn(lines, nothingSkipped, { food: 'egg', digits: '50' })).toBe(false);
      // Some of it went in, perhaps from the other phone: more may follow, and need not.
      expect(isAllIn(lines, nothingSkipped, { food: 'liver', digits: '' })).toBe(true);
    }
  });

  it('waits for what is planned and not left out, and for the first food of all', () => {
    const lines = weighLines(plan, [putIn('heart', 600)]);
    expect(isAllIn(lines, nothingSkipped, none)).toBe(false);
    expect(isAllIn(lines, new Set(['liver']), none)).toBe(true);
    expect(isAllIn(weighLines([], []), nothingSkipped, none)).toBe(false);
    expect(isAllIn(weighLines(plan, []), new Set(['heart', 'liver']), none)).toBe(false);
  });
});

describe('wentIn', () => {
  it('leaves out what was planned and skipped, also on a phone that does not know that it was', () => {
    const lines = weighLines(plan, [putIn('heart', 600), putIn('egg', 50)]);
    expect(wentIn(lines)).toEqual([
      { food: 'heart', mass_g: 600 },
      { food: 'egg', mass_g: 50 },
    ]);
  });
});

describe('nextFood', () => {
  it('takes the first food that is neither done nor skipped', () => {
    const lines = weighLines(plan, [putIn('heart', 600)]);
    expect(nextFood(lines, nothingSkipped)).toBe('liver');
    expect(nextFood(lines, new Set(['liver']))).toBeNull();
  });
});

describe('batchIfFinished', () => {
  it('counts the rest as planned while nothing is on the scale', () => {
    const lines = weighLines(plan, [putIn('heart', 200)]);
    expect(
      batchIfFinished(lines, { food: 'heart', reading_g: 0, skipped: nothingSkipped }),
    ).toEqual([
      { food: 'heart', mass_g: 600 },
      { food: 'liver', mass_g: 100 },
    ]);
  });

  it('takes the reading for the food being weighed, even when it is less than planned', () => {
    const lines = weighLines(plan, [putIn('heart', 200)]);
    expect(
      batchIfFinished(lines, { food: 'heart', reading_g: 150, skipped: nothingSkipped })[0],
    ).toEqual({ food: 'heart', mass_g: 350 });
  });

  it('leaves a skipped food out and adds one that was not planned', () => {
    const lines = weighLines(plan, []);
    expect(
      batchIfFinished(lines, { food: 'egg', reading_g: 55, skipped: new Set(['liver']) }),
    ).toEqual([
      { food: 'heart', mass_g: 600 },
      { food: 'egg', mass_g: 55 },
    ]);
  });

  it('conserves mass once everything is weighed', () => {
    const putIns = [putIn('heart', 612), putIn('liver', 99), putIn('egg', 40)];
    const total = batchIfFinished(weighLines(plan, putIns), {
      food: null,
      reading_g: 0,
      skipped: nothingSkipped,
    }).reduce((sum, portion) => sum + portion.mass_g, 0);
    expect(total).toBe(bowl_g(putIns));
  });
});

describe('standing', () => {
  const heart = weighLines(plan, [putIn('heart', 200)])[0];

  it('says what is to go', () => {
    expect(standing(heart, 150)).toEqual({ word: 'to_go', mass_g: 250 });
  });

  it('says enough within 3 per cent', () => {
    expect(tolerance_g(600)).toBe(18);
    expect(standing(heart, 382)).toEqual({ word: 'enough' });
    expect(standing(heart, 418)).toEqual({ word: 'enough' });
  });

  it('says plainly by how much it is too much', () => {
    expect(standing(heart, 440)).toEqual({ word: 'too_much', mass_g: 40 });
  });

  it('has no opinion on a food without a plan', () => {
    expect(standing(undefined, 40)).toEqual({ word: 'unplanned' });
  });
});

describe('the display', () => {
  it('reads grams, and nothing as 0', () => {
    expect(reading_g('412', 'metric')).toBe(412);
    expect(reading_g('', 'metric')).toBe(0);
    expect(fits('100000', 'metric')).toBe(true);
    expect(fits('100001', 'metric')).toBe(false);
  });

  it('gets a beam with round ticks', () => {
    expect(beamEnd(4200)).toEqual({ end: 4200, step: 500 });
    expect(beamEnd(0).end).toBe(1);
  });
});

describe('scaleDifference', () => {
  it('is what the total grew by', () => {
    expect(scaleDifference(3312, 2900)).toEqual({ word: 'put_in', mass_g: 412 });
  });

  it('refuses a total below what the scale held', () => {
    expect(scaleDifference(290, 2900)).toEqual({ word: 'below', expected_g: 2900 });
    expect(scaleDifference(2900, 2900)).toEqual({ word: 'nothing_new' });
  });
});

describe('lastPutIn', () => {
  it('is the latest by time, or null', () => {
    const first = putIn('heart', 10, '2026-11-25T09:00:00Z');
    const second = putIn('liver', 20, '2026-11-25T09:05:00Z');
    expect(lastPutIn([second, first])).toBe(second);
    expect(lastPutIn([])).toBeNull();
    expect(planned_g([])).toBeNull();
  });
});

describe('scaleSays', () => {
  it('puts in what is on a scale that was set to zero', () => {
    expect(scaleSays('412', null, 'metric')).toEqual({ putIn_g: 412, refusal: null });
    expect(scaleSays('', null, 'metric')).toEqual({ putIn_g: 0, refusal: null });
  });

  it('puts in the difference where the scale shows the total', () => {
    expect(scaleSays('3312', 2900, 'metric')).toEqual({ putIn_g: 412, refusal: null });
    expect(scaleSays('', 2900, 'metric')).toEqual({ putIn_g: 0, refusal: null });
  });

  it('refuses a total that cannot be, and says what to do', () => {
    expect(scaleSays('200', 2900, 'metric').refusal).toContain('All foods');
    expect(scaleSays('2900', 2900, 'metric').refusal).toBe('Nothing new on the scale');
  });
});

describe('a scale in ounces', () => {
  // 1 oz = 28.349523125 g: a sixteenth of the international avoirdupois pound of 0.45359237 kg
  // (NIST SP 811, appendix B.8). 8.4 oz are 238.136 g.
  it('puts in whole grams', () => {
    expect(scaleSays('8.4', null, 'us')).toEqual({ putIn_g: 238, refusal: null });
    expect(reading_g('8.', 'us')).toBe(227);
    expect(fits('3527.4', 'us')).toBe(true);
    expect(fits('3527.5', 'us')).toBe(false);
  });

  it('takes what it shows alike for the same, and says what it held in ounces', () => {
    // 1710 g are 60.319 oz; the display shows 60.3, which are 1709 g.
    expect(scaleSays('60.3', 1710, 'us').refusal).toBe('Nothing new on the scale');
    expect(scaleSays('60.4', 1710, 'us')).toEqual({ putIn_g: 2, refusal: null });
    expect(scaleSays('60.2', 1710, 'us').refusal).toContain('The scale held 60.3 oz.');
  });

  it('shows a total again as it was read, food after food', () => {
    const readings = fc.uniqueArray(fc.integer({ min: 1, max: 30_000 }), { minLength: 1 });
    fc.assert(
      fc.property(readings, (tenths) => {
        let held_g = 0;
        for (const reading of [...tenths].sort((a, b) => a - b)) {
          const digits = (reading / 10).toFixed(1);
          held_g += scaleSays(digits, held_g, 'us').putIn_g;
          expect(scaleMass(held_g, 'us')).toBe(`${digits} oz`);
        }
      }),
    );
  });
});

describe('where in the batch', () => {
  const lines = weighLines(plan, [putIn('heart', 600)]);

  it('is a food of so many', () => {
    expect(stepWords(lines, 'liver', true)).toBe('food 2 of 2');
    expect(stepWords(lines, null, true)).toBe('all 2 foods');
    expect(stepWords(lines, 'egg', true)).toBe('besides the plan');
    expect(stepWords([], 'egg', false)).toBe('without a plan');
  });

  it('leaves what is not in the bowl to be held back', () => {
    expect([...toGo_g(lines)]).toEqual([['liver', 100]]);
  });
});
