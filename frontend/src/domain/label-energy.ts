/** The energy of a food by every equation that fits its label, and which of them is used. */

import { atwater, fourStep, modifiedAtwater } from './food-energy.ts';
import { InputError } from './input-error.ts';
import type { EnergyTables } from './tables.ts';

export type LabelStyle = 'dry' | 'treat' | 'wet' | 'cooked' | 'raw';
export type EnergyMethod = 'label' | 'four_step' | 'modified_atwater' | 'atwater';

export const MOST_KCAL_PER_100G = 950;

/** Whether the defaults of dry food stand in where a label is silent. */
export function isDry(style: LabelStyle): boolean {
  return style === 'dry' || style === 'treat';
}

export interface WholeLabel {
  readonly protein_g: number;
  readonly fat_g: number;
  readonly fibre_g: number;
  readonly water_g: number;
  readonly ash_g: number;
  readonly carbohydrate_g: number;
  /** Names of what the label does not print. */
  readonly assumed: readonly string[];
}

export interface LabelEnergies {
  readonly method: EnergyMethod;
  readonly why: 'printed' | 'prepared' | 'fibrous' | 'fresh';
  readonly used_kcal_per_100g: number;
  readonly by_method: Readonly<Partial<Record<EnergyMethod, number>>>;
  readonly carbohydrate_g: number;
  readonly assumed: readonly string[];
}

/**
 * The energy by every method, the label's own figure first. Else prepared food takes the four
 * steps, or modified Atwater where much fibre makes those run low; fresh food takes Atwater.
 */
export function labelEnergies(
  energy: EnergyTables,
  whole: WholeLabel,
  { printed_kcal, style }: { printed_kcal: number | null; style: LabelStyle },
): LabelEnergies {
  const equations = {
    four_step: fourStep(energy, whole),
    modified_atwater: modifiedAtwater(energy, whole),
    atwater: atwater(energy, whole),
  };
  const { carbohydrate_g, assumed } = whole;
  if (printed_kcal !== null) {
    checkPrinted(printed_kcal);
    return {
      method: 'label',
      why: 'printed',
      used_kcal_per_100g: printed_kcal,
      by_method: { ...equations, label: printed_kcal },
      carbohydrate_g,
      assumed,
    };
  }
  const [method, why] = chosen(energy, whole, style);
  return {
    method,
    why,
    used_kcal_per_100g: equations[method],
    by_method: equations,
    carbohydrate_g,
    assumed,
  };
}

function chosen(
  energy: EnergyTables,
  whole: WholeLabel,
  style: LabelStyle,
): ['four_step' | 'modified_atwater' | 'atwater', LabelEnergies['why']] {
  if (style === 'cooked' || style === 'raw') return ['atwater', 'fresh'];
  const fibreOfDryMatter = (100 * whole.fibre_g) / (100 - whole.water_g);
  return fibreOfDryMatter > energy.food.fibre_limit_pct
    ? ['modified_atwater', 'fibrous']
    : ['four_step', 'prepared'];
}

export function checkPrinted(kcal: number): void {
  if (kcal >= 0 && kcal <= MOST_KCAL_PER_100G) return;
  throw new InputError(
    `The energy is ${kcal} kcal per 100 g; pure fat has 900. Check the label and its unit.`,
    ['energy_kcal_per_100g'],
  );
}
