import { describe, expect, it } from 'vitest';
import type { FoodRow } from '../../domain/tables';
import { kitchenOf, shownIn, verdict } from './judged';
import { foodOf, tablesOf } from './proposing.examples';

describe('the verdict', () => {
  it('says nothing of a ratio while half of the mass is not known', () => {
    const food: FoodRow = { ...foodOf('neck', 'poultry', 150), v: { calcium: 120, phosphorus: 100 } }; // prettier-ignore
    const nutrients = ['calcium', 'phosphorus'].map((key) => ({ key, name: key, unit: 'mg' }));
    const tables = { ...tablesOf([food]), nutrients } as unknown as Parameters<typeof kitchenOf>[0];
    const wordOf = (portions: Parameters<typeof verdict>[1]) =>
      verdict(kitchenOf(tables, []), portions, []).rows.map(({ word }) => word);
    const neck = { food: 'neck', mass_g: 500 };
    expect(wordOf([neck])).toEqual(['met']);
    expect(wordOf([neck, { food: 'nobody knows', mass_g: 500 }])).toEqual(['unknown']);
  });
});

describe('shownIn', () => {
  it('shows thousands of milligrams as grams', () => {
    expect(shownIn('mg', [3000, 4500])).toEqual({ unit: 'g', scale: 1000 });
    expect(shownIn('mg', [25, null])).toEqual({ unit: 'mg', scale: 1 });
    expect(shownIn('g', [25000])).toEqual({ unit: 'g', scale: 1 });
    expect(shownIn('µg', [1000])).toEqual({ unit: 'mg', scale: 1000 });
  });
});
