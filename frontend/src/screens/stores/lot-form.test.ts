import { describe, expect, it } from 'vitest';
import { emptyLot, lotTyped, readLot } from './lot-form';

const draft = { ...emptyLot('metric', '2026-11-25'), pack: '0,62', packs: 5 };

describe('readLot', () => {
  it('reads a pack in the unit it was typed in', () => {
    expect(readLot(draft).values?.pack_mass_g).toBe(620);
    expect(readLot({ ...draft, pack: '2', unit: 'lb' }).values?.pack_mass_g).toBe(907);
  });

  it('keeps an empty field as unknown', () => {
    const { values } = readLot(draft);
    expect(values?.price).toBeNull();
    expect(values?.seller).toBeNull();
    expect(values?.frozen_on).toBe('2026-11-25');
  });

  it('drops a frozen date outside the freezer', () => {
    expect(readLot({ ...draft, place: 'shelf' }).values?.frozen_on).toBeNull();
  });

  it('reads a price in hundredths', () => {
    expect(readLot({ ...draft, price: '12,5', currency: 'eur' }).values?.price).toEqual({
      minor: 1250,
      currency: 'EUR',
    });
  });

  it('says what was typed and what is allowed', () => {
    expect(readLot({ ...draft, pack: 'two' }).errors?.pack).toContain('“two” is no mass');
    expect(readLot({ ...draft, pack: '60' }).errors?.pack).toContain('50 kg at most');
    expect(readLot({ ...draft, price: 'cheap' }).errors?.price).toContain('12.50');
    expect(readLot({ ...draft, price: '3', currency: 'euro' }).errors?.currency).toContain('three');
  });

  it('comes back as it was typed', () => {
    const { values } = readLot({ ...draft, price: '12.50', seller: 'Farm gate' });
    if (values === null) throw new Error('The draft was not read.');
    const again = lotTyped({ food: 'heart', ...values }, 'metric');
    expect(readLot(again).values).toEqual(values);
  });
});
