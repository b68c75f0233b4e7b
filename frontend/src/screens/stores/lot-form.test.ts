import { describe, expect, it } from 'vitest';
import { emptyLot, lotTyped, readLot, readPurchase } from './lot-form';

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
    expect(readLot({ ...draft, pack: '120', unit: 'lb' }).errors?.pack).toContain('110 lb at most');
    expect(readLot({ ...draft, price: 'cheap' }).errors?.price).toContain('12.50');
    expect(readLot({ ...draft, price: '3', currency: 'euro' }).errors?.currency).toContain('three');
  });

  it('comes back as it was typed', () => {
    const { values } = readLot({
      ...draft,
      price: '12.50',
      seller: 'Farm gate',
      shelf: 'Second drawer',
      form: 'log',
      thickness: '90',
      own: 'bought',
    });
    if (values === null) throw new Error('The draft was not read.');
    const again = lotTyped({ food: 'heart', ...values }, 'metric');
    expect(readLot(again).values).toEqual(values);
  });

  it('reads a thickness in what the member measures with, and keeps an empty one unknown', () => {
    expect(readLot(draft).values?.thickness_mm).toBeNull();
    expect(readLot({ ...draft, thickness: '42,5' }).values?.thickness_mm).toBe(42.5);
    const inches = { ...draft, units: 'us', thickness: '1.5' } as const;
    expect(readLot(inches).values?.thickness_mm).toBe(38.1);
    expect(readLot({ ...draft, thickness: '0' }).errors?.thickness).toContain('1 to 500 mm');
    // 500 mm are 19.685 in: the limit is told rounded, and taken as it is told.
    expect(readLot({ ...inches, thickness: '19.69' }).values?.thickness_mm).toBe(500);
    expect(readLot({ ...inches, thickness: '19.70' }).errors?.thickness).toContain('19.69 in');
    expect(readLot({ ...inches, thickness: '30' }).errors?.thickness).toContain('0.04 to 19.69 in');
  });
});

describe('readPurchase', () => {
  const logs = { ...draft, pack: '2.3', packs: 4 };
  const divided = { ...logs, isDivided: true, smallPack: '200' };

  it('puts in so many packs', () => {
    expect(readPurchase(logs)).toMatchObject({ stored_g: 9200, values: { pack_mass_g: 2300 } });
  });

  it('divides four logs of 2.3 kg into packs of 200 g as one lot', () => {
    expect(readPurchase(divided)).toMatchObject({
      stored_g: 9200,
      values: { pack_mass_g: 200, bought_as: { packs: 4, pack_mass_g: 2300 } },
    });
  });

  it('refuses packs larger than all of it', () => {
    expect(readPurchase({ ...divided, smallPack: '9201' }).errors?.smallPack).toContain('more');
    expect(readPurchase({ ...divided, smallPack: '' }).errors?.smallPack).toContain('no mass');
  });
});
