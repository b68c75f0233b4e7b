import { describe, expect, it } from 'vitest';
import { hazardsNamed, hazardsBegun, matches, search, wordsOf, type FoodChoice } from './foods';
import type { HazardRow } from '../../domain/tables';

function food(name: string, over: Partial<FoodChoice> = {}): FoodChoice {
  return {
    key: name,
    name,
    synonyms: [],
    group: 'meat',
    style: 'raw',
    is_own: false,
    in_store_g: 0,
    ...over,
  };
}

function hazard(name: string, synonyms: string[] = [], not_names: string[] = []): HazardRow {
  return {
    key: name,
    name,
    synonyms,
    not_names,
    dose: '',
    effect: '',
    source: '',
    severity: 'stop',
  };
}

describe('wordsOf', () => {
  it('drops accents, capitals and the plural', () => {
    expect(wordsOf('Pâté, Hearts and Berries')).toEqual(['pate', 'heart', 'and', 'berry']);
    expect(wordsOf('gas')).toEqual(['gas']);
    expect(wordsOf('grass')).toEqual(['grass']);
  });
});

describe('search', () => {
  const foods = [
    food('Lamb heart'),
    food('Chicken hearts', { in_store_g: 900 }),
    food('Wheat germ'),
    food('Beef trim', { synonyms: ['mince'] }),
  ];

  it('finds by the beginning of any word, what is in store first', () => {
    expect(search(foods, 'hea').map((each) => each.name)).toEqual(['Chicken hearts', 'Lamb heart']);
  });

  it('finds by a synonym and needs every word typed', () => {
    expect(search(foods, 'mince')).toHaveLength(1);
    expect(search(foods, 'lamb hearts')).toHaveLength(1);
    expect(search(foods, 'lamb mince')).toHaveLength(0);
  });

  it('lists everything for nothing typed', () => {
    expect(search(foods, '')).toHaveLength(4);
    expect(matches('Lamb heart', 'eart')).toBe(false);
  });
});

describe('hazards', () => {
  const hazards = [
    hazard('Onion', ['onion', 'leek', 'spring onion']),
    hazard('Grapes', ['grape', 'raisins'], ['grape seed oil']),
    hazard('Xylitol', ['xylitol', 'birch sugar']),
  ];

  it('stops at a whole word, in singular or plural', () => {
    expect(hazardsNamed(hazards, 'fried onions')).toHaveLength(1);
    expect(hazardsNamed(hazards, 'a grape')).toHaveLength(1);
    expect(hazardsNamed(hazards, 'birch sugar syrup')).toHaveLength(1);
    expect(hazardsNamed(hazards, 'union of birch')).toHaveLength(0);
  });

  it('lets a harmless name pass, but not the hazard beside it', () => {
    expect(hazardsNamed(hazards, 'grape seed oil')).toHaveLength(0);
    expect(hazardsNamed(hazards, 'grape seed oil and grapes')).toHaveLength(1);
  });

  it('knows a name that has only been begun, from three letters on', () => {
    expect(hazardsBegun(hazards, 'xyl').map((each) => each.name)).toEqual(['Xylitol']);
    expect(hazardsBegun(hazards, 'birch su')).toHaveLength(1);
    expect(hazardsBegun(hazards, 'on')).toHaveLength(0);
  });
});
