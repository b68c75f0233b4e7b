import { describe, expect, it } from 'vitest';
import type { HazardRow } from '../../domain/tables';
import { doseWords } from './doses';

const hazard = (more: Partial<HazardRow>): HazardRow => ({
  key: 'x',
  name: 'X',
  synonyms: ['x'],
  dose: '',
  effect: '',
  source: 's',
  severity: 'stop',
  ...more,
});

const tansy = { name: 'Tansy', mass_g: 11400 };
const morag = { name: 'Morag', mass_g: null };

describe('the dose for each dog', () => {
  // 20 mg of theobromine and caffeine per kg; dark chocolate holds 5.7 mg per g.
  it('is told as a product where the amount is of what is in it', () => {
    const contents = [
      { name: 'dark chocolate', amount_mg_per_g: 5.7 },
      { name: 'milk chocolate', amount_mg_per_g: 2.3 },
    ];
    const [words] = doseWords(hazard({ amount: 20, unit: 'mg/kg', contents }), [tansy], 'metric');
    expect(words).toContain('from about 228 mg on, as in 40 g dark chocolate or 99 g milk');
  });

  it('is not made up where none is published, nor for a dog never weighed', () => {
    expect(doseWords(hazard({ amount: null }), [tansy], 'metric')).toEqual([]);
    expect(doseWords(hazard({ amount: 5, unit: 'g/kg' }), [morag], 'metric')).toEqual([]);
  });
});
