import { describe, expect, it } from 'vitest';
import { corner_mm, paged, perSheet, SHEETS, sheetWords } from './label-sheets';

// Margins that makers print on their templates for these sizes [mm]: left, top.
const MARGINS: Readonly<Record<string, readonly [number, number]>> = {
  'a4-21': [7.25, 15.15],
  'a4-14': [4.65, 15.15],
  'a4-8': [4.65, 13.1],
  'a4-24': [0, 0.5],
  'letter-30': [4.76, 12.7],
  'letter-10': [3.97, 12.7],
  'letter-6': [3.97, 12.7],
};

describe('sheets of labels', () => {
  it.each(SHEETS)('$key lies in the middle of its paper, as on the packet', (sheet) => {
    const { left, top } = corner_mm(sheet);
    const [wantedLeft, wantedTop] = MARGINS[sheet.key] ?? [Number.NaN, Number.NaN];
    expect(left).toBeCloseTo(wantedLeft, 1);
    expect(top).toBeCloseTo(wantedTop, 1);
  });

  it('is named by its size and how many are on it', () => {
    expect(SHEETS.map(perSheet)).toEqual([21, 14, 8, 24, 30, 10, 6]);
    expect(SHEETS.map(sheetWords)).toContain('A4, 21 to a sheet, 63.5 × 38.1 mm');
    expect(SHEETS.map(sheetWords)).toContain('Letter, 30 to a sheet, 66.7 × 25.4 mm');
  });

  it('goes on where a sheet was begun', () => {
    const eight = SHEETS.find(({ key }) => key === 'a4-8');
    if (!eight) throw new Error('The sheet is gone.');
    const pages = paged([1, 2, 3], eight, 6);
    expect(pages).toEqual([[null, null, null, null, null, null, 1, 2], [3]]);
    expect(paged([], eight, 3)).toEqual([]);
  });
});
