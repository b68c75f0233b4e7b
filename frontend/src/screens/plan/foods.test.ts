import { describe, expect, it } from 'vitest';
import { findable, hazardsNamed, hazardsBegun, search, type FoodChoice } from './foods';
import type { HazardRow } from '../../domain/tables';

function food(name: string, over: Partial<FoodChoice> = {}): FoodChoice {
  return {
    key: name,
    name,
    also: [],
    group: 'meat',
    shown_group: 'Meat',
    style: 'raw',
    is_own: false,
    is_in_store: false,
    in_store_g: 0,
    known: null,
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

describe('search', () => {
  const index = findable([
    food('Lamb heart'),
    food('Chicken hearts', { is_in_store: true, in_store_g: 900 }),
    food('Wheat germ'),
    food('Beef trim', { also: ['mince'] }),
  ]);

  it('finds by the beginning of any word, what is in store first', () => {
    expect(search(index, 'hea').map((each) => each.name)).toEqual(['Chicken hearts', 'Lamb heart']);
  });

  it('finds by a synonym and needs every word typed', () => {
    expect(search(index, 'mince')).toHaveLength(1);
    expect(search(index, 'lamb hearts')).toHaveLength(1);
    expect(search(index, 'lamb mince')).toHaveLength(0);
  });

  it('lists everything for nothing typed', () => {
    expect(search(index, '')).toHaveLength(4);
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
