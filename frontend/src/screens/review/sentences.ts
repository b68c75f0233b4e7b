/** What a figure of the week says, as a sentence. */
import type { SummaryEnergy, SummaryWeight } from '../../domain/summary';
import { dayWords } from '../../ui/days';
import { bodyMass, fixed, gramsPerPound, measureBody, type Units } from '../../ui/words';

/** "Not weighed this week", or what the last weighing says, in the member's units. */
export function weightSentence(
  weight: Omit<SummaryWeight, 'sentence'>,
  today: string,
  units: Units,
): string {
  const last = weight.points.at(-1);
  if (weight.latest_g === null || last === undefined) return 'Never weighed.';
  const when = dayWords(last[0], today);
  if (weight.change_g === null) return `Last weighed ${when}. No trend from one week alone.`;
  if (weight.change_g === 0) return `Weighed ${when}: the same as before.`;
  const direction = weight.change_g > 0 ? 'more' : 'less';
  const change = bodyMass(Math.abs(weight.change_g), units);
  return `Weighed ${when}: ${change} ${direction} than the time before.`;
}

/** ", +0.3" or ", steady", to as many places as the weight beside it has: a small dog's matter. */
export function changeWords(
  { latest_g, change_g }: Pick<SummaryWeight, 'latest_g' | 'change_g'>,
  units: Units,
): string {
  if (latest_g === null || change_g === null) return '';
  const places = measureBody(latest_g, units).figure.split('.')[1]?.length ?? 0;
  const change = change_g / (units === 'us' ? gramsPerPound : 1000);
  if (Number(fixed(Math.abs(change), places)) === 0) return ', steady';
  return `, ${change > 0 ? '+' : ''}${fixed(change, places)}`;
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
