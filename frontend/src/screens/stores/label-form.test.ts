import { describe, expect, it } from 'vitest';
import type { Tables } from '../../domain/tables';
import {
  assumed,
  emptyFood,
  energyLines,
  foodTyped,
  labelEnergies,
  readFood,
  whyWords,
} from './label-form';
import { newLine } from './lines-form';

// The constants of the published equations, as the server sends them.
const tables = {
  nutrients: [{ key: 'calcium', name: 'Calcium', unit: 'mg', decimals: 0, group: 'minerals' }],
  group_upper: {},
  foods: [],
  forms: [],
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
      fibre_limit_pct: 8,
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
    // The book prints 3.32 to 3.33 kcal per g.
    expect(labelEnergies(draft, tables)?.by_method.modified_atwater).toBeCloseTo(332, 6);
  });

  it('uses the four steps when the label prints none, and says why', () => {
    const found = labelEnergies(draft, tables);
    expect(found?.used_kcal_per_100g).toBeCloseTo(349.99, 2);
    expect(found && whyWords(found)).toContain('four steps');
    expect(found && energyLines(found).map((line) => [line.method, line.isUsed])).toEqual([
      ['four_step', true],
      ['modified_atwater', false],
    ]);
  });

  it('lets the label speak first, per 100 g, per kg or per cup', () => {
    const perHundred = labelEnergies({ ...draft, energy: '365' }, tables);
    expect(perHundred?.method).toBe('label');
    expect(perHundred && energyLines(perHundred)).toHaveLength(3);
    const perKg = labelEnergies({ ...draft, energy: '3650', energyPer: 'kg' }, tables);
    expect(perKg?.used_kcal_per_100g).toBe(365);
    const perCup = labelEnergies(
      { ...draft, energy: '401.5', energyPer: 'cup', cup: '110' },
      tables,
    );
    expect(perCup?.used_kcal_per_100g).toBe(365);
  });

  it('takes modified Atwater where much fibre makes the four steps run low', () => {
    const fibrous = { ...draft, parts: { ...draft.parts, fibre: '10' } };
    expect(labelEnergies(fibrous, tables)?.why).toBe('fibrous');
  });

  it('has nothing to say before protein and fat are typed', () => {
    expect(labelEnergies(emptyFood, tables)).toBeNull();
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
    const line = newLine(tables, 'calcium', { isServing: false });
    const lines = { ...draft, lines: [line] };
    expect(readFood(lines, tables).errors?.lines?.[line.id]).toContain('amount');
    const cup = { ...draft, energy: '400', energyPer: 'cup' as const };
    expect(readFood(cup, tables).errors?.cup).toContain('weighed');
  });

  it('comes back as it was typed', () => {
    const line = {
      ...newLine(tables, 'calcium', { isServing: false, bound: 'min' }),
      amount: '1.2',
    };
    const full = {
      ...draft,
      energy: '365',
      cup: '110',
      means: 'guaranteed' as const,
      linesBasis: 'dry_matter' as const,
      lines: [line],
    };
    const { values } = readFood(full, tables);
    if (values === null) throw new Error('The draft was not read.');
    const again = foodTyped(values, tables);
    const unnumbered = again.lines.map((each) => ({ ...each, id: line.id }));
    expect({ ...again, lines: unnumbered }).toEqual(full);
  });

  it('shows the amounts of an older record among the lines', () => {
    const older = { name: 'Kibble', nutrients_per_100g: { calcium: 1200 } };
    expect(foodTyped(older, tables).lines.map(({ amount, unit }) => [amount, unit])).toEqual([
      ['1200', 'mg/100g'],
    ]);
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
