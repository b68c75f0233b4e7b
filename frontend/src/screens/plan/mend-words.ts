/** A mend in words: "Add 85 g Oyster, eastern: 27 mg, met". */
import { shortFigure } from '../../ui/beams';
import type { CheckRow } from './checks';
import type { Mend } from './mending';

export function mendWords(
  mend: Mend,
  rows: readonly CheckRow[],
  name: (food: string) => string,
): string {
  const row = rows.find((each) => each.nutrient === mend.nutrient);
  const mass = `${Math.abs(mend.mass_g)} g ${name(mend.food)}`;
  const value = `${shortFigure(mend.value, row?.decimals)} ${row?.unit ?? ''}`.trim();
  return `${mend.mass_g > 0 ? 'Add' : 'Hold back'} ${mass}: ${value}, ${mend.word}`;
}

/** The rows with what mends them. */
export function withMends(
  rows: readonly CheckRow[],
  mends: readonly Mend[],
  name: (food: string) => string,
): CheckRow[] {
  return rows.map((row) => {
    const mend = mends.find((each) => each.nutrient === row.nutrient);
    if (mend === undefined) return row;
    return { ...row, mend: { words: mendWords(mend, rows, name), value: mend.value } };
  });
}
