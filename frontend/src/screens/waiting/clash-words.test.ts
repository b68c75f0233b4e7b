import { describe, expect, it } from 'vitest';
import type { Rec } from '../../db/store.svelte';
import { answerWords, hintOf, questionsOf } from './clash-words';

function rec(entity: Rec['entity'], values: object, register: string, answers: unknown[]): Rec {
  return {
    rid: 'r',
    entity,
    owner: null,
    values,
    made_at: 0,
    made_by: null,
    op_at: 0,
    op_by: '',
    gone: false,
    flags: [],
    pending: false,
    also: {
      [register]: answers.map((value, index) => ({
        op: String(index),
        value,
        at: 0,
        by: 'ines',
        ops: [String(index)],
      })),
    },
    seen: {},
  };
}

describe('a disagreement between phones', () => {
  it('is a question with every account, in words', () => {
    const meal = rec('serving', { offered_g: 240 }, 'left', [{ g: 0 }, { g: 60 }, null]);
    const [question] = questionsOf(meal, 'Pascoe, supper Mon');
    expect(question?.title).toBe('Three accounts of one meal');
    expect(question?.about).toBe('Pascoe, supper Mon');
    const words = question?.answers.map(({ value }) =>
      answerWords(question, value, 'metric', String),
    );
    expect(words).toEqual(['Ate all of 240 g', 'Left 60 g of 240 g', 'Nothing said']);
  });

  it('names the register where the answer does not', () => {
    const dog = rec('dog', { name: 'Morag' }, 'adult_weight_g', [16_000, 17_000]);
    const [question] = questionsOf(dog, 'Morag');
    expect(question?.about).toBe('Morag, adult weight');
    expect(question && answerWords(question, 17_000, 'metric', String)).toBe('17.0 kg');
  });

  it('says what hangs on a meal that two people wrote down', () => {
    expect(hintOf({ rec: rec('meal', {}, 'at', []), register: 'at' })).toContain('extra');
    expect(hintOf({ rec: rec('serving', {}, 'left', []), register: 'left' })).toBeUndefined();
  });
});
