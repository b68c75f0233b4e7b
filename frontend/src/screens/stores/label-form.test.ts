import { describe, expect, it } from 'vitest';
import type { Tables } from '../../domain/tables';
import { assumed, emptyFood, foodTyped, labelEnergies, readFood } from './label-form';

// The constants of the published equations, as the server sends them.
const tables = {
  nutrients: [{ key: 'calcium', name: 'Calcium', unit: 'mg', decimals: 0, group: 'minerals' }],
  group_upper: {},
  energy: {
    food: {
      atwater: { protein: 4, fat: 9, carbohydrate: 4 },
      modified_atwater: { protein: 3.5, fat: 8.5, carbohydrate: 3.5 },
      four_step: { protein: 5.7, fat: 9.4, carbohydrate: 4.1 },
      digestibility_pct: 91.2,
      digestibility_fall_per_fibre_pct: 1.43,
      urine_kcal_per_protein_g: 1.04,
      ash_dry_pct: 6,
      ash_moist_pct: 2,
      fibre_missing_pct: 0,
      moisture_dry_pct: 10,
    },
  },
} as unknown as Tables;

// SACN5, Box 1-6 Table 3, p. 16: protein 22, fat 9, fibre 3, moisture 10, ash 5 per cent.
const draft = {
  ...emptyFood,
  name: 'Kibble of the blue sack',
  parts: { protein: '22', fat: '9', fibre: '3', moisture: '10', ash: '5' },
};

describe('labelEnergies', () => {
  it('agrees with the published example by modified Atwater', () => {
    const found = labelEnergies(draft, tables).find((each) => each.key === 'modified_atwater');
    // The book prints 3.32 to 3.33 kcal per g.
    expect(found?.kcal_per_100g).toBeCloseTo(332, 6);
  });

  it('gives the four-step figure first when the label prints none', () => {
    const found = labelEnergies(draft, tables)[0];
    expect(found?.key).toBe('four_step');
    expect(found?.kcal_per_100g).toBeCloseTo(349.99, 2);
  });

  it('lets the label speak first', () => {
    expect(labelEnergies({ ...draft, energy: '365' }, tables)[0]).toEqual({
      key: 'label',
      method: 'As printed',
      kcal_per_100g: 365,
    });
  });

  it('has nothing to say before protein and fat are typed', () => {
    expect(labelEnergies(emptyFood, tables)).toEqual([]);
  });
});

describe('readFood', () => {
  it('keeps what the label does not print as unknown', () => {
    const { values } = readFood({ ...draft, parts: { ...draft.parts, ash: '' } }, tables);
    expect(values?.label?.ash_pct).toBeNull();
    expect(values?.energy_kcal_per_100g).toBeNull();
    expect(values?.nutrients_per_100g).toBeNull();
  });

  it('says what was typed, what is allowed and what to do', () => {
    expect(readFood(emptyFood, tables).errors?.protein).toContain('Every label prints it');
    expect(readFood({ ...draft, name: ' ' }, tables).errors?.name).toContain('called');
    const much = { ...draft, parts: { ...draft.parts, protein: '92' } };
    expect(readFood(much, tables).errors?.protein).toContain('cannot pass 100 %');
    const text = { ...draft, parts: { ...draft.parts, fat: 'nine' } };
    expect(readFood(text, tables).errors?.fat).toContain('“nine” is no number');
    const moist = { ...draft, style: 'cooked' as const, parts: { ...draft.parts, moisture: '' } };
    expect(readFood(moist, tables).errors?.moisture).toContain('moisture is missing');
    const more = { ...draft, more: [{ nutrient: 'calcium', amount: '' }] };
    expect(readFood(more, tables).errors?.more).toContain('amount');
  });

  it('comes back as it was typed', () => {
    const full = { ...draft, energy: '365', more: [{ nutrient: 'calcium', amount: '1200' }] };
    const { values } = readFood(full, tables);
    if (values === null) throw new Error('The draft was not read.');
    expect(foodTyped(values)).toEqual(full);
  });
});

describe('assumed', () => {
  it('names what stands in for a silent label', () => {
    expect(assumed({ ...draft, parts: { ...draft.parts, ash: '', moisture: '' } }, tables)).toEqual(
      ['moisture 10 %', 'ash 6 %'],
    );
    expect(assumed(draft, tables)).toEqual([]);
  });
});
