import { describe, expect, it } from 'vitest';
import type { KeepingRow } from '../../domain/tables';
import { classAsMade, classesAsMade, sourceWords, useBy } from './keeping';

// Figures of the FoodSafety.gov cold food storage chart and the USDA thawing advice.
const keeping: KeepingRow[] = [
  { class: 'ground_meat', place: 'fridge', days_min: 1, days_max: 2, source: 'foodsafety-gov' },
  { class: 'red_meat_pieces', place: 'fridge', days_min: 3, days_max: 5, source: 'foodsafety-gov' },
  { class: 'cooked', place: 'fridge', days_min: 3, days_max: 4, source: 'foodsafety-gov' },
  { class: 'red_meat_pieces', place: 'thawed', days_min: 3, days_max: 5, source: 'fsis' },
];

describe('useBy', () => {
  it('takes the shortest-lived part', () => {
    const found = useBy(keeping, ['red_meat_pieces', 'ground_meat'], {
      place: 'fridge',
      from: '2026-11-25',
    });
    expect(found).toEqual({
      day: '2026-11-26',
      atLatest: '2026-11-27',
      class: 'ground_meat',
      source: 'foodsafety-gov',
    });
  });

  it('is unknown when no part has a figure', () => {
    expect(useBy(keeping, ['oil'], { place: 'fridge', from: '2026-11-25' })).toBeNull();
  });
});

describe('classAsMade', () => {
  it('counts ground meat as ground, whatever it was before', () => {
    expect(classAsMade('red_meat_pieces', 'ground')).toBe('ground_meat');
    expect(classAsMade('red_meat_pieces', 'chopped')).toBe('stew_meat');
    expect(classAsMade('red_meat_pieces', 'bone_in')).toBe('red_meat_pieces');
    expect(classAsMade('fish_oily', 'ground')).toBe('fish_oily');
    expect(classAsMade('organs', 'cooked')).toBe('cooked');
  });

  it('counts dry food that is wet as leftovers, beside what is raw in it', () => {
    expect(classesAsMade(['organs'], 'dry_mix')).toEqual(['cooked', 'organs']);
    expect(classesAsMade([], 'dry_mix')).toEqual(['cooked']);
    expect(classesAsMade(['organs', 'fish_oily'], 'cooked')).toContain('cooked');
    expect(classesAsMade([], 'bone_in')).toEqual([]);
  });
});

describe('sourceWords', () => {
  it('names title, publisher, year and place; the key when the source is not known', () => {
    const sources = {
      a: { title: 'Chart', publisher: 'Office', year: 2023, url: null, licence: '', note: '' },
    };
    expect(sourceWords(sources, 'a', 'row 3')).toBe('Chart, Office, 2023, row 3');
    expect(sourceWords(sources, 'b')).toBe('b');
  });
});
