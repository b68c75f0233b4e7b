import { describe, expect, it } from 'vitest';
import { kinds } from '../../domain/declared';
import {
  conditionSteps,
  eatenWords,
  muscleSteps,
  observationDetail,
  observationTitle,
  stoolSigns,
  topics,
  wordsFor,
} from './observations';

describe('what was seen, in words', () => {
  it('has a word for every choice that is declared, in the same order for stool', () => {
    const rules = kinds['observation']?.checks ?? [];
    const byRegister = (register: string) =>
      rules.find((rule) => rule.type === 'choice_by' && rule.register === register);
    const words = byRegister('word');
    const flags = byRegister('flags');
    if (words?.type !== 'choice_by' || flags?.type !== 'choice_by')
      throw new Error('The rules are gone.');
    for (const { value } of topics) {
      expect([...wordsFor(value)].map((choice) => choice.value).sort()).toEqual(
        [...(words.choices[value] ?? [])].sort(),
      );
    }
    expect(wordsFor('stool').map((choice) => choice.value)).toEqual(words.choices['stool']);
    expect(stoolSigns.map((choice) => choice.value)).toEqual(flags.choices['stool']);
  });

  it('covers the whole of both condition scales', () => {
    expect(conditionSteps.map((step) => step.bcs)).toEqual([1, 2, 3, 4, 5, 6, 7, 8, 9]);
    expect(muscleSteps.map((step) => step.value)).toEqual(
      kinds['condition']?.registers['mcs']?.choices,
    );
  });

  it('says an entry in one line and its rest in another', () => {
    const entry = {
      dog: 'x',
      at: 'y',
      topic: 'stool' as const,
      word: 'soft_shaped',
      flags: ['grass'],
      note: 'On the walk',
    };
    expect(observationTitle(entry)).toBe('Stool: soft, shaped');
    expect(observationDetail(entry)).toBe('Grass. On the walk');
    expect(observationTitle({ ...entry, topic: 'note', word: null })).toBe('Note');
    expect(observationDetail({ ...entry, flags: null, note: null })).toBeUndefined();
  });

  it('never calls a meal eaten that nobody noted', () => {
    expect(eatenWords({ offered_g: 190, left: null })).toBe('190 g, what was left not noted');
    expect(eatenWords({ offered_g: 190, left: { g: 0 } })).toBe('Ate all of 190 g');
    expect(eatenWords({ offered_g: 190, left: { g: 60 } })).toBe('Left 60 g of 190 g');
    expect(eatenWords({ offered_g: 190, left: { share: 0.5 } })).toBe('Left about half of 190 g');
    expect(eatenWords({ offered_g: 190, left: { g: 190 } })).toBe('Left all of 190 g');
  });
});
