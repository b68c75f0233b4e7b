/** A mend in words: "Add 85 g Oyster, eastern: 27 mg, met". */
import { shortFigure } from '../../ui/beams';
import { scaleMass, type Units } from '../../ui/words';
import type { CheckRow } from './checks';
import type { Mend } from './mending';

interface Telling {
  readonly name: (food: string) => string;
  readonly units: Units;
}

/** "85 g Oyster, eastern". */
export function mendMass(mend: Mend, { name, units }: Telling): string {
  return `${scaleMass(Math.abs(mend.mass_g), units)} ${name(mend.food)}`;
}

export function mendWords(mend: Mend, rows: readonly CheckRow[], telling: Telling): string {
  const row = rows.find((each) => each.nutrient === mend.nutrient);
  const mass = mendMass(mend, telling);
  const value = `${shortFigure(mend.value, row?.decimals)} ${row?.unit ?? ''}`.trim();
  return `${mend.mass_g > 0 ? 'Add' : 'Hold back'} ${mass}: ${value}, ${mend.word}`;
}

/** The rows with what mends them. */
export function withMends(
  rows: readonly CheckRow[],
  mends: readonly Mend[],
  telling: Telling,
): CheckRow[] {
  return rows.map((row) => {
    const mend = mends.find((each) => each.nutrient === row.nutrient);
    if (mend === undefined) return row;
    return { ...row, mend: { words: mendWords(mend, rows, telling), value: mend.value } };
  });
}
