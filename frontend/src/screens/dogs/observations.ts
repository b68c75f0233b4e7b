/** What people see of a dog, in kitchen words; scales are ordered as the dog's body orders them. */
import type { Observation, Serving, Topic } from '../../domain/kinds';
import { appetiteTitles, type Appetite } from '../../ui/appetites';
import { capital, fixed } from '../../ui/words';

export interface Choice<Value extends string = string> {
  readonly value: Value;
  readonly label: string;
}

export const topics: readonly Choice<Topic>[] = [
  { value: 'stool', label: 'Stool' },
  { value: 'appetite', label: 'Appetite' },
  { value: 'vomiting', label: 'Vomiting' },
  { value: 'behaviour', label: 'Behaviour' },
  { value: 'note', label: 'Note' },
];

/** Hard to liquid. */
export const stoolWords: readonly Choice[] = [
  { value: 'dry_pellets', label: 'Dry pellets' },
  { value: 'firm', label: 'Firm' },
  { value: 'shaped_moist', label: 'Shaped, moist' },
  { value: 'soft_shaped', label: 'Soft, shaped' },
  { value: 'soft_heap', label: 'Soft heap' },
  { value: 'liquid', label: 'Liquid' },
];

export const stoolSigns: readonly Choice[] = [
  { value: 'straining', label: 'Straining' },
  { value: 'urgent', label: 'In a hurry' },
  { value: 'mucus', label: 'Slime' },
  { value: 'fresh_blood', label: 'Fresh blood' },
  { value: 'black_tarry', label: 'Black, like tar' },
  { value: 'pale_chalky', label: 'Pale, chalky' },
  { value: 'bone_bits', label: 'Bits of bone' },
  { value: 'undigested', label: 'Undigested food' },
  { value: 'worms', label: 'Worms' },
  { value: 'grass', label: 'Grass' },
];

const vomitingWords: readonly Choice[] = [
  { value: 'food', label: 'Food' },
  { value: 'bile', label: 'Yellow bile' },
  { value: 'foam', label: 'White foam' },
  { value: 'bone_bits', label: 'Bits of bone' },
  { value: 'other', label: 'Something else' },
];

const behaviourWords: readonly Choice[] = [
  { value: 'bright', label: 'Bright' },
  { value: 'quiet', label: 'Quiet' },
  { value: 'restless', label: 'Restless' },
  { value: 'stiff', label: 'Stiff' },
  { value: 'other', label: 'Something else' },
];

const appetiteChoices: readonly Choice[] = (['keen', 'slow', 'picked', 'left_it'] as const).map(
  (value) => ({ value, label: appetiteTitles[value] }),
);

const byTopic: Readonly<Record<Topic, readonly Choice[]>> = {
  stool: stoolWords,
  appetite: appetiteChoices,
  vomiting: vomitingWords,
  behaviour: behaviourWords,
  note: [],
};

export function wordsFor(topic: Topic): readonly Choice[] {
  return byTopic[topic];
}

export function topicLabel(topic: Topic): string {
  return topics.find((choice) => choice.value === topic)?.label ?? topic;
}

function labelOf(choices: readonly Choice[], value: string): string {
  return choices.find((choice) => choice.value === value)?.label ?? value;
}

/** "Stool: soft, shaped", "Stiff", "Note". */
export function observationTitle(seen: Observation): string {
  const topic = topicLabel(seen.topic);
  if (!seen.word) return topic;
  const word = labelOf(byTopic[seen.topic], seen.word);
  return `${topic}: ${word.charAt(0).toLowerCase()}${word.slice(1)}`;
}

/** Signs and note as one line; undefined when there is neither. */
export function observationDetail(seen: Observation): string | undefined {
  const signs = (seen.flags ?? []).map((flag) => labelOf(stoolSigns, flag).toLowerCase());
  const parts = [capital(signs.join(', ')), seen.note ?? ''].filter((part) => part !== '');
  return parts.length > 0 ? parts.join('. ') : undefined;
}

/** "Ate all of 190 g", "Left 60 g of 190 g", "Left about half of 190 g"; nothing noted is said as such. */
export function eatenWords(
  serving: Pick<Serving, 'offered_g' | 'left'>,
  mass: (grams: number) => string = (grams) => `${fixed(grams, 0)} g`,
): string {
  const offered = mass(serving.offered_g);
  const { left } = serving;
  if (!left) return `${offered}, what was left not noted`;
  if (left.g !== null && left.g !== undefined) {
    if (left.g === 0) return `Ate all of ${offered}`;
    return left.g >= serving.offered_g
      ? `Left all of ${offered}`
      : `Left ${mass(left.g)} of ${offered}`;
  }
  const share = left.share ?? 0;
  if (share === 0) return `Ate all of ${offered}`;
  if (share === 1) return `Left all of ${offered}`;
  return `Left about ${shareWords(share)} of ${offered}`;
}

function shareWords(share: number): string {
  if (Math.abs(share - 0.5) < 0.05) return 'half';
  if (Math.abs(share - 0.25) < 0.05) return 'a quarter';
  if (Math.abs(share - 0.75) < 0.05) return 'three quarters';
  return `${fixed(share * 100, 0)} %`;
}

export function appetiteTitle(word: Appetite): string {
  return `Appetite: ${appetiteTitles[word].toLowerCase()}`;
}

/** Body condition in our own words; the number is the body condition score that vets use. */
export const conditionSteps: readonly { readonly bcs: number; readonly words: string }[] = [
  { bcs: 1, words: 'Every rib, the spine and the hips stand out from afar. No fat to feel.' },
  { bcs: 2, words: 'Ribs, spine and hips easily seen. No fat to feel over them.' },
  { bcs: 3, words: 'Ribs easily felt and perhaps seen. Waist and tuck very clear.' },
  {
    bcs: 4,
    words: 'Ribs felt at once under a thin cover. Waist clear from above, belly tucked up.',
  },
  {
    bcs: 5,
    words: 'Ribs felt through a light cover, not seen. Waist from above, belly tucked up.',
  },
  { bcs: 6, words: 'Ribs felt with a little pressure. Waist there, but not much of it.' },
  { bcs: 7, words: 'Ribs hard to feel. Waist hardly there, fat over the loins and tail.' },
  { bcs: 8, words: 'Ribs only felt by pressing hard. No waist, no tuck, belly may hang.' },
  { bcs: 9, words: 'Ribs not to be felt. Thick fat over chest, back and tail, belly hangs.' },
];

export const muscleSteps: readonly (Choice<'normal' | 'mild' | 'moderate' | 'marked'> & {
  readonly detail: string;
})[] = [
  { value: 'normal', label: 'Normal', detail: 'Firm over spine, shoulders, skull and hips.' },
  { value: 'mild', label: 'Mild loss', detail: 'A little hollow beside the spine.' },
  { value: 'moderate', label: 'Moderate loss', detail: 'Clearly hollow; bones begin to be felt.' },
  {
    value: 'marked',
    label: 'Marked loss',
    detail: 'Bones stand out; hardly any muscle over them.',
  },
];
