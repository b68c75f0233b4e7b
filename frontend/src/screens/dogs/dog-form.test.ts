import { describe, expect, it } from 'vitest';
import {
  bornFromAge,
  dogGrams,
  dogWords,
  draftOf,
  emptyDraft,
  GROWN_G,
  limitWords,
  readDraft,
  WEIGHED_G,
  type DogDraft,
} from './dog-form';

const moment = { today: '2026-10-14', units: 'metric' as const };

function read(changes: Partial<DogDraft>) {
  return readDraft({ ...emptyDraft, name: 'Morag', ...changes }, null, moment);
}

describe('the form of a dog', () => {
  it('needs nothing but a name', () => {
    const result = read({});
    expect(result.ok && result.dog.name).toBe('Morag');
    expect(result.ok && result.dog.born).toBeNull();
    expect(readDraft(emptyDraft, null, moment)).toMatchObject({
      ok: false,
      errors: { name: expect.stringContaining('empty') as string },
    });
  });

  it('turns an age into an estimated day of birth', () => {
    const result = read({ bornBy: 'age', years: '2', months: '3' });
    expect(result.ok && result.dog.born).toEqual({ date: '2024-07-14', estimated: true });
    expect(bornFromAge(1, '2026-03-31')).toBe('2026-02-28');
  });

  it('keeps weights in grams, whatever they were typed in', () => {
    const metric = read({ adultWeight: '14,5', weight: '9.6' });
    expect(metric.ok && [metric.dog.adult_weight_g, metric.weight_g]).toEqual([14_500, 9600]);
    const us = readDraft({ ...emptyDraft, name: 'Tansy', weight: '21.2' }, null, {
      ...moment,
      units: 'us',
    });
    expect(us.ok && us.weight_g).toBe(9616);
  });

  it('says what was given and what is allowed', () => {
    const result = read({ weight: 'heavy', bornOn: '2027-01-01', vetEnergy: '5' });
    expect(result).toMatchObject({
      ok: false,
      errors: {
        weight: '“heavy” is no weight of a dog. Give 0.1 to 150 kg.',
        bornOn: '2027-01-01 lies in the future. Give a day up to today.',
        vetEnergy: expect.stringContaining('20') as string,
      },
    });
  });

  it('takes the limits that it names, in pounds too', () => {
    for (const units of ['metric', 'us'] as const)
      for (const limits of [WEIGHED_G, GROWN_G]) {
        const [least, , most] = limitWords(limits, units).split(' ').map(Number);
        expect(dogGrams(least ?? null, limits, units)).toBe(limits.least);
        expect(dogGrams(most ?? null, limits, units)).toBe(limits.most);
      }
    expect(limitWords(WEIGHED_G, 'us')).toBe('0.22 to 330.7 lb');
    expect(dogGrams(0.21, WEIGHED_G, 'us')).toBeNull();
    expect(dogGrams(330.8, WEIGHED_G, 'us')).toBeNull();
  });

  it('takes a birth of a century ago for a slip of the year, unless it stood there before', () => {
    expect(read({ bornOn: '1926-05-01' })).toMatchObject({
      ok: false,
      errors: { bornOn: '1926-05-01 is longer ago than dogs live. Check the year.' },
    });
    expect(read({ bornOn: '1997-05-01' })).toMatchObject({ ok: true });
    for (const estimated of [true, false]) {
      const old = { name: 'Morag', born: { date: '1994-05-01', estimated } };
      expect(readDraft(draftOf(old, moment), old, moment)).toMatchObject({
        ok: true,
        dog: { born: old.born },
      });
    }
  });

  it('changes nothing when it is opened and saved', () => {
    const dog = {
      name: 'Pascoe',
      breed: 'Spanish water dog',
      born: { date: '2021-05-20', estimated: true },
      sex: 'male' as const,
      neutered: true,
      activity: 'high' as const,
      adult_weight_g: 19_837,
      energy_vet: { kcal_per_day: 950, note: 'Dr Bright' },
      vet_notes: 'Left hip',
      reproduction: null,
    };
    for (const units of ['metric', 'us'] as const) {
      const result = readDraft(draftOf(dog, { ...moment, units }), dog, { ...moment, units });
      expect(result.ok && result.dog).toEqual(dog);
    }
  });

  it('says who a dog is in one line', () => {
    expect(
      dogWords(
        { name: 'Morag', breed: 'Standard schnauzer', sex: 'female', neutered: true },
        '12 years',
      ),
    ).toBe('Standard schnauzer, 12 years, spayed');
    expect(
      dogWords(
        { name: 'Tansy', sex: 'female', born: { date: '2026-02-01', estimated: true } },
        '8 months',
      ),
    ).toBe('about 8 months, female');
  });
});

describe('mating and pups', () => {
  const bitch = { sex: 'female', neutered: 'no' } as const;

  it('are kept of a female that is not spayed', () => {
    const result = read({ ...bitch, whelpedOn: '2026-10-01', pups: '6' });
    expect(result.ok && result.dog.reproduction).toEqual({
      mated_on: null,
      whelped_on: '2026-10-01',
      pups: 6,
      weaned_on: null,
    });
    expect(read(bitch)).toMatchObject({ ok: true, dog: { reproduction: null } });
  });

  it('are dropped when the dog turns out male or spayed', () => {
    const typed = { matedOn: '2026-10-01' };
    const spayed = read({ ...bitch, ...typed, neutered: 'yes' });
    expect(spayed.ok && spayed.dog.reproduction).toBeNull();
    const male = read({ ...bitch, ...typed, sex: 'male' });
    expect(male.ok && male.dog.reproduction).toBeNull();
  });

  it('say which day cannot be', () => {
    const days = { matedOn: '2026-09-01', whelpedOn: '2026-08-20', weanedOn: '2026-12-01' };
    expect(read({ ...bitch, ...days, pups: 'many' })).toMatchObject({
      ok: false,
      errors: {
        whelpedOn: '2026-08-20 lies before the mating. Correct one of the two days.',
        weanedOn: '2026-12-01 lies in the future. Give a day up to today.',
        pups: '“many” is no number of pups. Give 0 to 20.',
      },
    });
  });
});
