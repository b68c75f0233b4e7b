/**
 * Sheets of labels as shops sell them, by the size of a label and how many are on a sheet.
 *
 * The dimensions are printed on every packet. The labels lie in the middle of the paper with the
 * same gap between all columns, so that the margins follow.
 */

export interface Paper {
  readonly name: string;
  readonly width_mm: number;
  readonly height_mm: number;
}

/** ISO 216. */
export const A4: Paper = { name: 'A4', width_mm: 210, height_mm: 297 };
/** ANSI/ASME Y14.1, size A: 8.5 by 11 inches. */
export const LETTER: Paper = { name: 'Letter', width_mm: 215.9, height_mm: 279.4 };

export interface LabelSheet {
  readonly key: string;
  readonly paper: Paper;
  readonly columns: number;
  readonly rows: number;
  readonly width_mm: number;
  readonly height_mm: number;
  /** Between two columns; rows touch. */
  readonly gap_mm: number;
}

const INCH_MM = 25.4;

export const SHEETS: readonly LabelSheet[] = [
  a4('a4-21', [3, 7], [63.5, 38.1], 2.5),
  a4('a4-14', [2, 7], [99.1, 38.1], 2.5),
  a4('a4-8', [2, 4], [99.1, 67.7], 2.5),
  a4('a4-24', [3, 8], [70, 37], 0),
  letter('letter-30', [3, 10], [2.625, 1], 0.125),
  letter('letter-10', [2, 5], [4, 2], 0.1875),
  letter('letter-6', [2, 3], [4, 10 / 3], 0.1875),
];

type Pair = readonly [number, number];

function a4(
  key: string,
  [columns, rows]: Pair,
  [width_mm, height_mm]: Pair,
  gap_mm: number,
): LabelSheet {
  return { key, paper: A4, columns, rows, width_mm, height_mm, gap_mm };
}

function letter(key: string, [columns, rows]: Pair, inches: Pair, gap_in: number): LabelSheet {
  const [width_mm, height_mm] = [inches[0] * INCH_MM, inches[1] * INCH_MM];
  return { key, paper: LETTER, columns, rows, width_mm, height_mm, gap_mm: gap_in * INCH_MM };
}

/** How many labels are on a sheet. */
export function perSheet({ columns, rows }: LabelSheet): number {
  return columns * rows;
}

/** "A4, 21 to a sheet, 63.5 × 38.1 mm". */
export function sheetWords(sheet: LabelSheet): string {
  const size = [sheet.width_mm, sheet.height_mm].map((side) => String(Number(side.toFixed(1))));
  return `${sheet.paper.name}, ${perSheet(sheet)} to a sheet, ${size.join(' × ')} mm`;
}

/** Where the first label begins [mm from the corner of the paper]. */
export function corner_mm(sheet: LabelSheet): { readonly left: number; readonly top: number } {
  const { columns, rows, width_mm, height_mm, gap_mm, paper } = sheet;
  return {
    left: (paper.width_mm - columns * width_mm - (columns - 1) * gap_mm) / 2,
    top: (paper.height_mm - rows * height_mm) / 2,
  };
}

/** Spreads labels over sheets; `used` of the first sheet are gone already (null: an empty place). */
export function paged<T>(labels: readonly T[], sheet: LabelSheet, used: number): (T | null)[][] {
  const places: (T | null)[] = [...Array.from({ length: used }, () => null), ...labels];
  const most = perSheet(sheet);
  const pages: (T | null)[][] = [];
  for (let start = 0; start < places.length; start += most)
    pages.push(places.slice(start, start + most));
  return labels.length === 0 ? [] : pages;
}

/** The sheet of a key that the choice offered. */
export function sheetCalled(key: string): LabelSheet {
  const found = SHEETS.find((sheet) => sheet.key === key);
  if (found === undefined) throw new Error(`There is no sheet of labels called ${key}.`);
  return found;
}
