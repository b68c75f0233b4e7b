/** A proposal in words: packs to pull, what stock lacks, what a food left out would have cost. */
import type { Proposal, ProposalLine, Rejected } from '../../domain/proposal';
import type { Missed } from '../../domain/proposal-missed';
import { shortDay } from '../../ui/days';
import { counted, fixed, storeMass, type Units } from '../../ui/words';

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

const PART_WORDS = { bone: 'bone', liver: 'liver', organ: 'organs' } as const;

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
    if (key === 'organ_practice') {
      const share = `${fixed((amount ?? 0) * 100, 0)} % organs`;
      const common = `${fixed(limit * 100, 0)} % is common practice, without a published source`;
      return [{ title: `It holds ${share}; ${common}.`, next: 'add other food, or set the dogs’ own limit.' }]; // prettier-ignore
    }
    // Every other nutrient is judged beside the plan, but not by the fat that a vet allows one dog.
    if (key === 'fat' && word === 'over') {
      const [amount_g, limit_g] = [fixed(amount ?? 0, 1), fixed(limit, 1)];
      const title = `It may hold ${amount_g} g fat per 1000 kcal; the limit is ${limit_g} g.`;
      return [{ title, next: 'use leaner food.' }];
    }
    if (key !== 'bone' && key !== 'liver' && key !== 'organ') return [];
    const share = `${fixed((amount ?? 0) * 100, 0)} % ${PART_WORDS[key]}, the limit is ${fixed(limit * 100, 0)} %`;
    return [{ title: `It passes a limit of one dog: ${share}.`, next: `use less ${PART_WORDS[key]}.` }]; // prettier-ignore
  });
}

export function missedWords(missed: readonly Missed[]): string[] {
  return missesOf(missed).map(({ title }) => title);
}

/** What a food left out would have cost, and by which aim. */
export function rejectedWords({ aim, worse_by, mass_g }: Rejected, units: Units): string {
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
      return `${into} would use food ${counted(Math.round(worse_by), 'day')} newer on average.`;
    case 'left':
      return `${into} would leave ${storeMass(worse_by * 100, units)} more in opened packs.`;
    case 'variety':
      return `${into} would bring ${fixed(worse_by * 100, 0)} % more of what they had lately.`;
    case 'cost':
      return `${into} would cost ${fixed(worse_by, 2)} more.`;
    case null:
      return `${into} would be as good.`;
  }
}

/** How sure the choice of packs is. */
export function proofWords({ is_proved }: Proposal): string | null {
  return is_proved
    ? null
    : 'The best packs found in a moment; another choice may leave a little less over.';
}
