import { describe, expect, it } from 'vitest';
import { changeWords, energySentence, weightSentence } from './sentences';

const weight = {
  latest_g: 17400,
  latest_at: '2026-11-19T08:00:00Z',
  change_g: -100,
  slope_pct_per_week: null,
  low: null,
  high: null,
  points: [
    ['2026-11-10', 17500],
    ['2026-11-19', 17400],
  ] as const,
};

const energy = {
  eaten_kcal_per_day: 546,
  required_kcal_per_day: 600,
  share: 0.91,
  assumed_share: 0,
  unknown_share: 0,
  offered_g: 2660,
  eaten_g: 2420,
};

describe('weightSentence', () => {
  it('compares with the time before', () => {
    expect(weightSentence(weight, '2026-11-20', 'metric')).toBe(
      'Weighed yesterday: 0.10 kg less than the time before.',
    );
    expect(weightSentence({ ...weight, change_g: 0 }, '2026-11-20', 'metric')).toContain(
      'the same',
    );
  });

  it('speaks in the units of whoever reads it', () => {
    expect(weightSentence(weight, '2026-11-20', 'us')).toBe(
      'Weighed yesterday: 0.22 lb less than the time before.',
    );
  });

  it('does not invent a change', () => {
    expect(weightSentence({ ...weight, change_g: null }, '2026-11-20', 'metric')).toContain(
      'No trend',
    );
    expect(weightSentence({ ...weight, latest_g: null, points: [] }, '2026-11-20', 'metric')).toBe(
      'Never weighed.',
    );
  });
});

describe('changeWords', () => {
  it('has the places of the weight beside it', () => {
    expect(changeWords({ latest_g: 17400, change_g: -100 }, 'metric')).toBe(', −0.1');
    expect(changeWords({ latest_g: 17400, change_g: 40 }, 'metric')).toBe(', steady');
    // Two percent of a small dog in one week.
    expect(changeWords({ latest_g: 1960, change_g: -40 }, 'metric')).toBe(', −0.04');
    expect(changeWords({ latest_g: 17400, change_g: 100 }, 'us')).toBe(', +0.2');
    expect(changeWords({ latest_g: 17400, change_g: null }, 'metric')).toBe('');
  });
});

describe('energySentence', () => {
  it('says share and need', () => {
    expect(energySentence(energy)).toBe('546 kcal a day, 91 % of the 600 needed.');
  });

  it('says what was assumed and what is not known', () => {
    expect(energySentence({ ...energy, assumed_share: 0.25 })).toContain('25 %: taken as eaten');
    const unknown = { ...energy, eaten_kcal_per_day: null, share: null, unknown_share: 0.4 };
    expect(energySentence(unknown)).toContain('40 % of it is not known');
    expect(energySentence({ ...energy, share: null, required_kcal_per_day: null })).toContain(
      'the need is not known',
    );
    expect(energySentence({ ...energy, offered_g: 0 })).toBe('No meal written down.');
  });
});
