import { describe, expect, it } from 'vitest';
import { CAP_FIELDS, capError, capsOf, capWords, typedOf } from './caps';

const [fat, bone] = CAP_FIELDS;

describe('the limits of one dog', () => {
  it('are kept as typed, and an empty field is no limit', () => {
    const typed = { fat_g_per_1000_kcal: '42.5', bone_pct: ' ', liver_pct: '0', organ_pct: '' };
    expect(capsOf(typed)).toEqual({ fat_g_per_1000_kcal: 42.5, liver_pct: 0 });
    expect(capsOf(typedOf(null))).toBeNull();
    expect(capsOf(typedOf({ bone_pct: 12 }))).toEqual({ bone_pct: 12 });
  });

  it('are refused with what is allowed', () => {
    if (!fat || !bone) throw new Error('no fields');
    expect(capError(fat, '5')).toContain('10 to 110');
    expect(capError(bone, 'some')).toContain('0 to 100');
    expect(capError(bone, '')).toBeNull();
  });

  it('are said in one line', () => {
    const dog = { caps: { bone_pct: 10, organ_pct: 15 }, may_not_have: ['x'] };
    expect(capWords(dog, () => 'Chicken')).toBe('bone to 10 %, organs to 15 %, no Chicken');
    expect(capWords({}, () => '')).toContain('None');
  });
});
