import { describe, expect, it } from 'vitest';
import type { Word } from '../../ui/beams';
import {
  countSentence,
  furthestFirst,
  inOrder,
  mostPressing,
  quietLine,
  type CheckRow,
} from './checks';

function row(name: string, word: Word): CheckRow {
  return {
    nutrient: name,
    name,
    word,
    reading: { known: 1, best: null, minimum: 1, maximum: null },
    unit: 'g',
    decimals: 1,
    scale: 1,
    sources: [],
  };
}

const rows = [
  row('Protein', 'met'),
  row('Zinc', 'short'),
  row('Iodine', 'unknown'),
  row('Calcium', 'over'),
  row('Copper', 'short'),
];

describe('the checks', () => {
  it('stand in the order over, short, unknown, met', () => {
    expect(inOrder(rows).map((each) => each.name)).toEqual([
      'Calcium',
      'Zinc',
      'Copper',
      'Iodine',
      'Protein',
    ]);
  });

  it('are counted in one sentence', () => {
    expect(countSentence(rows)).toBe('One over, two short, one unknown, one met');
    expect(countSentence([row('Protein', 'met'), row('Zinc', 'met')])).toBe('All two met');
    expect(countSentence([])).toBe('Nothing to check yet');
  });

  it('put what is furthest from the wanted amount first', () => {
    const far = {
      ...row('Iodine', 'unknown'),
      reading: { ...row('x', 'unknown').reading, known: 0.1 },
    };
    const near = {
      ...row('Choline', 'unknown'),
      reading: { ...row('x', 'unknown').reading, known: 0.9 },
    };
    expect(furthestFirst([near, far]).map((each) => each.name)).toEqual(['Iodine', 'Choline']);
  });

  it('offer the two most pressing to the counter', () => {
    expect(mostPressing(rows).map((each) => each.name)).toEqual(['Calcium', 'Zinc']);
  });

  it('are quiet when nothing is off', () => {
    expect(quietLine([row('Iodine', 'unknown'), row('Zinc', 'met')])).toBe(
      'Nothing over or short, one unknown',
    );
    expect(quietLine([row('Zinc', 'met')])).toBe('All one met');
  });
});
