/** A proposal in words: packs to pull, what stock lacks, what a food left out would have cost. */
import type { Proposal, ProposalLine, Rejected } from '../../domain/proposal';
import type { Missed } from '../../domain/proposal-missed';
import { shortDay } from '../../ui/days';
import { capital, counted, fixed, foodMass, listed, storeMass, type Units } from '../../ui/words';
import type { Choice, ProposalLot } from '../../domain/proposal-problem';
import { isPassed, type Passed } from './own-limits';

/** "2000 g, frozen 12 Aug" or "80 g of the pack left". */
export function packLine(
  line: ProposalLine,
  { frozen, today, units }: { frozen: string | null; today: string; units: Units },
): string {
  if (line.lot === '') return 'To buy: not in store';
  const parts = [
    line.packs === null ? '' : storeMass(line.mass_g, units),
    frozen === null ? '' : `frozen ${shortDay(frozen, today)}`,
    line.left_g >= 1 ? `${storeMass(line.left_g, units)} of the pack left` : '',
  ];
  return parts.filter((part) => part !== '').join(', ');
}

export interface Miss {
  readonly title: string;
  /** What can be done about it. */
  readonly next: string;
}

/** Of the energy: weighing comes no nearer. */
const WEIGHING_SHARE = 0.01;

const PART_WORDS = { bone: 'bone', liver: 'liver', organ: 'organs', fat: 'fat' } as const;

function percent(share: number): string {
  return String(Number((share * 100).toFixed(2)));
}

/** A share as exact as it takes to be told from the limit that it passes. */
function percentOver(share: number, limit: number): string {
  const words = [0, 1].map((places) => fixed(share * 100, places));
  return words.find((each) => Number(each) > limit * 100) ?? percent(share);
}

function fatMiss(holds: 'holds' | 'may hold', amount_g: number, limit_g: number): Miss {
  const title = `It ${holds} ${fixed(amount_g, 1)} g fat per 1000 kcal; the limit is ${fixed(limit_g, 1)} g.`;
  return { title, next: 'use leaner food.' };
}

/** What the stock cannot give: energy, and what passes a limit of one dog. */
export function missesOf(missed: readonly Missed[]): Miss[] {
  return missed.flatMap(({ key, word, amount, limit }): Miss[] => {
    if (key === 'energy' && Math.abs((amount ?? 0) / limit - 1) < WEIGHING_SHARE) return [];
    if (key === 'energy' && word === 'short') {
      const of = `${fixed(amount ?? 0, 0)} of the ${fixed(limit, 0)} kcal`;
      return [
        { title: `The stock gives ${of} they need.`, next: 'add a food, or plan fewer days.' },
      ];
    }
    if (key === 'energy') {
      const more = `${fixed((amount ?? 0) - limit, 0)} kcal more than they need`;
      return [
        { title: `It holds ${more}.`, next: 'use less of a pinned food, or plan more days.' },
      ];
    }
    if (!isPassed({ amount, limit })) return [];
    if (key === 'organ_practice') {
      const share = percentOver(amount ?? 0, limit);
      const title = `It holds ${share} % organs; ${percent(limit)} % is common practice, without a published source.`;
      return [{ title, next: 'add other food, or set the dogs’ own limit.' }];
    }
    // Every other nutrient is judged beside the plan, but not by the fat that a vet allows one dog.
    if (key === 'fat' && word === 'over') return [fatMiss('may hold', amount ?? 0, limit)];
    if (key !== 'bone' && key !== 'liver' && key !== 'organ') return [];
    const share = percentOver(amount ?? 0, limit);
    const title = `It passes a limit of one dog: ${share} % ${PART_WORDS[key]}, the limit is ${percent(limit)} %.`;
    return [{ title, next: `use less ${PART_WORDS[key]}.` }];
  });
}

/** What a batch as it stands passes, or may pass, of the dogs' own limits. */
export function passedMisses(passed: readonly Passed[], name: (food: string) => string): Miss[] {
  return passed.flatMap(({ key, amount, limit, isSure, unknown }): Miss[] => {
    const isFat = key === 'fat';
    if (amount === null) {
      const foods = listed([...new Set(unknown)].map(name));
      const most = isFat ? `${fixed(limit, 1)} g per 1000 kcal` : `${percent(limit)} %`;
      const title = `It may pass a limit of one dog: how much ${PART_WORDS[key]} is in ${foods} is not known. The limit is ${most}.`;
      return [{ title, next: 'use less of it, or make another batch for that dog.' }];
    }
    return isFat
      ? [fatMiss(isSure ? 'holds' : 'may hold', amount, limit)]
      : missesOf([{ key, word: 'over', amount, limit }]);
  });
}

/** "Bone over a dog’s limit": for where there is room for a few words. */
export function passedLabel({ key, isSure }: Passed): string {
  return `${capital(PART_WORDS[key])} ${isSure ? 'over' : 'may be over'} a dog’s limit`;
}

/** What stands beside a proposal; what passes a dog's own limit is told of the plan below it. */
export function stockMisses(missed: readonly Missed[]): Miss[] {
  return missesOf(missed.filter(({ key }) => !(key in PART_WORDS)));
}

export function missedWords(missed: readonly Missed[]): string[] {
  return missesOf(missed).map(({ title }) => title);
}

/** What somebody settled about a food: its grams, or that it stays out. */
export function settledWords(
  { food, least_g, most_g }: Choice,
  forbidden: readonly string[],
  units: Units,
): string {
  if (most_g === 0) return 'left out';
  const mass = foodMass(least_g ?? 0, units);
  return forbidden.includes(food) ? `${mass}, not put in: one of the dogs may not have it` : mass;
}

/** What is known of the stock that a food is weighed against. */
export interface Known {
  /** Somebody left the food out. */
  readonly isLeftOut?: boolean;
  readonly lots?: readonly Pick<ProposalLot, 'age_days' | 'price_per_kg'>[];
}

/** What a food in store would have cost, and by which aim; one that was left out may cost nothing. */
export function rejectedWords(
  { aim, worse_by, mass_g }: Rejected,
  units: Units,
  { isLeftOut = false, lots = [] }: Known = {},
): string {
  const into = `${storeMass(mass_g, units)} of it in the batch`;
  switch (aim) {
    case 'forbidden':
      return 'One of the dogs may not have it.';
    case 'over':
      return `${into} would pass a safe limit or a dog’s own.`;
    case 'energy':
      return `${into} would miss the energy they need.`;
    case 'practice':
      return `${into} would bring more organs than is common practice.`;
    case 'short':
      return `${into} would leave ${fixed(worse_by / 10, 1)} % more of a need unmet.`;
    case 'lacked':
      return `${into} would make up less of what the last two weeks lacked.`;
    case 'oldest':
      return lots.some(({ age_days }) => age_days == null)
        ? `${into} would use food ${counted(Math.round(worse_by), 'day')} newer on average, if what has no date is the newest.`
        : `${into} would use food ${counted(Math.round(worse_by), 'day')} newer on average.`;
    case 'left':
      return `${into} would leave ${storeMass(worse_by * 100, units)} more in opened packs.`;
    case 'variety':
      return `${into} would bring ${fixed(worse_by * 100, 0)} % more of what they had lately.`;
    case 'cost':
      return lots.some(({ price_per_kg }) => price_per_kg == null)
        ? `${into} would cost ${fixed(worse_by, 2)} more, if what has no price is as dear as the dearest.`
        : `${into} would cost ${fixed(worse_by, 2)} more.`;
    case null:
      return isLeftOut
        ? `You left it out: ${into} would be as good or better.`
        : `${into} would be as good.`;
  }
}

/** How sure the choice of packs is. */
export function proofWords({ is_proved }: Proposal): string | null {
  return is_proved
    ? null
    : 'The best packs found in a moment; another choice may leave a little less over.';
}
