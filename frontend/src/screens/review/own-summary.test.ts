import { describe, expect, it } from 'vitest';
import { appetiteOf, eaten_g, energyOf, stoolOf, weightOf, type WeekServing } from './own-summary';

function served(over: Partial<WeekServing> = {}): WeekServing {
  return {
    day: '2026-11-16',
    time: '06:30',
    offered_g: 200,
    left: null,
    appetite: null,
    energy_kcal_per_g: 1.5,
    ...over,
  };
}

describe('eaten', () => {
  it('takes grams left, a share left, or nothing noted', () => {
    expect(eaten_g(served({ left: { g: 60 } }))).toBe(140);
    expect(eaten_g(served({ left: { share: 0.25 } }))).toBe(150);
    expect(eaten_g(served())).toBe(200);
  });
});

describe('appetiteOf', () => {
  it('orders the meals by the clock and counts the silent ones apart', () => {
    const result = appetiteOf([
      served({ time: '17:30', appetite: 'picked' }),
      served({ appetite: 'keen' }),
      served({ day: '2026-11-17' }),
    ]);
    expect(result.meals.map((meal) => meal.word)).toEqual(['keen', 'picked', null]);
    expect(result.counts).toEqual({ keen: 1, slow: 0, picked: 1, left_it: 0, not_said: 1 });
    expect(result.sentence).toBe('Picked 1, of 3 meals; nothing said about 1.');
  });

  it('says so when nobody wrote anything', () => {
    expect(appetiteOf([]).sentence).toBe('No meal written down.');
    expect(appetiteOf([served({ appetite: 'keen' })]).sentence).toBe(
      'Keen at the one meal that has a word.',
    );
  });
});

describe('stoolOf', () => {
  it('lists the words hard to liquid and counts the flags', () => {
    const seen = (word: string, flags: string[] = []) => ({
      day: '2026-11-16',
      topic: 'stool',
      word,
      flags,
    });
    const result = stoolOf([seen('soft_heap', ['mucus']), seen('firm'), seen('firm', ['mucus'])]);
    expect(result.counts).toEqual({ firm: 2, soft_heap: 1 });
    expect(result.flags).toEqual({ mucus: 2 });
    expect(result.sentence).toBe('Firm 2; soft heap 1.');
    expect(stoolOf([]).sentence).toBe('No stool written down.');
  });
});

describe('weightOf', () => {
  const week = { from: '2026-11-16', to: '2026-11-22' };
  const weighed = (day: string, mass_g: number) => ({ day, at: `${day}T08:00:00Z`, mass_g });

  it('compares the last weighing of the week with the last one before it', () => {
    const result = weightOf([weighed('2026-11-19', 17400), weighed('2026-11-10', 17500)], week);
    expect(result.latest_g).toBe(17400);
    expect(result.change_g).toBe(-100);
    expect(result.slope_pct_per_week).toBeNull();
  });

  it('has no change when the dog was not weighed this week', () => {
    expect(weightOf([weighed('2026-11-10', 17500)], week).change_g).toBeNull();
  });

  it('does not look past the end of the week', () => {
    expect(weightOf([weighed('2026-11-24', 17000)], week).latest_g).toBeNull();
  });
});

describe('energyOf', () => {
  it('divides by the days that have meals and says what was assumed', () => {
    const result = energyOf(
      [served({ left: { g: 0 } }), served({ day: '2026-11-17', left: { g: 100 } }), served()],
      500,
    );
    expect(result.eaten_g).toBe(500);
    expect(result.eaten_kcal_per_day).toBe(375);
    expect(result.share).toBe(0.75);
    expect(result.assumed_share).toBeCloseTo(1 / 3, 12);
  });

  it('is unknown, not smaller, when the energy of a meal is unknown', () => {
    const result = energyOf([served(), served({ energy_kcal_per_g: null })], 500);
    expect(result.eaten_kcal_per_day).toBeNull();
    expect(result.share).toBeNull();
    expect(result.unknown_share).toBe(0.5);
    expect(energyOf([], 500).eaten_kcal_per_day).toBeNull();
  });
});
