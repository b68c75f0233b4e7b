import { describe, expect, it } from 'vitest';
import type { FoodRow, Tables } from '../../domain/tables';
import { energyNote, sourcesOf } from './food-page';

const tables = {
  nutrients: [
    { key: 'iodine', name: 'Iodine' },
    { key: 'chloride', name: 'Chloride' },
    { key: 'calcium', name: 'Calcium' },
  ],
  sources: { usda: { title: 'Foods of the USDA' }, anses: { title: 'Ciqual' } },
} as unknown as Tables;

const back = {
  source: 'usda',
  locator: 'NDB 05048',
  bone_source: 'USDA refuse',
  from: { iodine: ['anses', '36018', 'read'], chloride: ['anses', '36018', 'read'] },
  range_from: { calcium: ['anses', 'bone', 'memory'] },
  energy_range: [170.2, 256],
} as unknown as FoodRow;

describe('the page of a food', () => {
  it('says who gives which figure, the food’s own record first', () => {
    expect(sourcesOf(tables, back)).toEqual([
      'Foods of the USDA, NDB 05048',
      'Share of bone: USDA refuse',
      'Iodine and Chloride: Ciqual, 36018',
      'Range of Calcium: Ciqual, bone (not yet compared with the printed source)',
    ]);
  });

  it('names the source of the bone share by its title', () => {
    const published = { ...back, bone_source: 'usda: NDB 05048 refuse' };
    expect(sourcesOf(tables, published)[1]).toBe(
      'Share of bone: Foods of the USDA, NDB 05048 refuse',
    );
  });

  it('says how far the energy of a cut with bone may be off', () => {
    expect(energyNote(back, 'by Atwater factors')).toBe(
      'per 100 g, by Atwater factors; 170 to 256 by how much of the bone is digested',
    );
    const { energy_range: _, ...plain } = back;
    expect(energyNote(plain, 'by Atwater factors')).toBe('per 100 g, by Atwater factors');
  });
});
