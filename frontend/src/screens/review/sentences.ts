/** What a figure of the week says, as a sentence. */
import type { SummaryEnergy, SummaryWeight } from '../../domain/summary';
import { dayWords } from '../../ui/days';

/** "Not weighed this week", or what the last weighing says. Kilograms: the page adds the units. */
export function weightSentence(weight: Omit<SummaryWeight, 'sentence'>, today: string): string {
  const last = weight.points.at(-1);
  if (weight.latest_g === null || last === undefined) return 'Never weighed.';
  const when = dayWords(last[0], today);
  if (weight.change_g === null) return `Last weighed ${when}. No trend from one week alone.`;
  const change_kg = Math.abs(weight.change_g) / 1000;
  if (weight.change_g === 0) return `Weighed ${when}: the same as before.`;
  const direction = weight.change_g > 0 ? 'more' : 'less';
  return `Weighed ${when}: ${change_kg.toFixed(1)} kg ${direction} than the time before.`;
}

/** "91 % of the need", with what is assumed and what is not known. */
export function energySentence(energy: Omit<SummaryEnergy, 'sentence'>): string {
  if (energy.offered_g === 0) return 'No meal written down.';
  const percent = (share: number): string => `${Math.round(share * 100)} %`;
  const assumed =
    energy.assumed_share > 0
      ? ` What was left was not noted for ${percent(energy.assumed_share)}: taken as eaten.`
      : '';
  if (energy.eaten_kcal_per_day === null) {
    return `Not known: the energy of ${percent(energy.unknown_share)} of it is not known.${assumed}`;
  }
  const eaten = `${Math.round(energy.eaten_kcal_per_day)} kcal a day`;
  if (energy.share === null || energy.required_kcal_per_day === null) {
    return `${eaten}; the need is not known.${assumed}`;
  }
  const need = Math.round(energy.required_kcal_per_day);
  return `${eaten}, ${percent(energy.share)} of the ${need} needed.${assumed}`;
}
