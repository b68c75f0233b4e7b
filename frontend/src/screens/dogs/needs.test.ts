import { describe, expect, it } from 'vitest';
import vectors from '../../../../fixtures/vectors/nutrition.json' with { type: 'json' };
import type { Rec } from '../../db/store.svelte';
import { app } from '../../db/store.svelte';
import type { Dog } from '../../domain/kinds';
import type { Tables } from '../../domain/tables';
import { eaterOf, reproductionOf, type Dogs } from '../plan/eaters';
import { editionIn, verdict, kitchenOf } from '../plan/judged';
import {
  bothTargets,
  correctionWords,
  factsOf,
  lastJudged,
  methodRows,
  nutrientGroups,
  planOf,
  rangeOf,
  whyNotWords,
} from './needs';

const tables = { ...(vectors.tables as unknown as Tables), sources: {} };
const today = '2026-11-25';

function rec<E extends Rec['entity']>(entity: E, rid: string, values: Rec<E>['values']): Rec<E> {
  return {
    rid,
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
    also: {},
    seen: {},
  };
}

const morag: Dog = {
  name: 'Morag',
  breed: 'Standard schnauzer',
  born: { date: '2014-09-28' },
  sex: 'female',
  neutered: true,
  activity: 'low',
};

function known(dog: Dog, mass_g: number) {
  const record = rec('dog', 'd', dog);
  const weighing = rec('weighing', 'w', { dog: 'd', at: '2026-11-20T08:00:00Z', mass_g });
  const all: Dogs = { dogs: [record], latest: new Map([['d', weighing]]), mealtimes: [] };
  const eater = eaterOf(all, record, { today, tables });
  return { eater, mass_g, facts: factsOf(tables, dog, { mass_g, bcs: null, eater, today }) };
}

describe('energy by every method', () => {
  it('gives each figure a unit, its range in words and who says so', () => {
    const rows = methodRows(tables, known(morag, 15_900).facts);
    const senior = rows.find((row) => row.key === 'fediaf_senior');
    expect(senior).toMatchObject({
      figure: '756',
      unit: 'kcal',
      title: 'FEDIAF 2021: over seven years old',
      detail: '637 to 955',
    });
    expect(senior?.sources[0]).toContain('not yet compared with the printed source');
    expect(rows.every((row) => row.sources.length > 0)).toBe(true);
  });

  it('puts what nobody wrote down last, and says so', () => {
    const rows = methodRows(tables, known({ name: 'Fern' }, 20_000).facts);
    expect(rows[0]?.key).toBe('bermingham_mean');
    const neutered = rows.find((row) => row.key === 'aaha_neutered');
    expect(neutered?.detail).toMatch(/^If this describes the dog/);
    expect(rows.find((row) => row.key === 'divol')?.figure).toBe('?');
  });

  it('says a range only where there is one', () => {
    expect(rangeOf(1, 2)).toBe('1 to 2');
    expect(rangeOf(null, 90)).toBe('90 or less');
    expect(rangeOf(null, null)).toBeNull();
    expect(rangeOf(5, 5)).toBeNull();
  });
});

describe('a bitch with pups', () => {
  const fern: Dog = {
    name: 'Fern',
    sex: 'female',
    neutered: false,
    born: { date: '2023-03-01' },
    reproduction: { whelped_on: '2026-11-10', pups: 6 },
  };

  it('is fed by week and litter', () => {
    const { eater } = known(fern, 22_000);
    // NRC 2006, week 3 of six pups, worked by hand: 4377 kcal.
    expect(eater.energy_kcal_per_day).toBeCloseTo(4377, 0);
    expect(eater.stage).toBe('reproduction');
    expect(eater.sources[0]).toContain('suckling, by week and pups');
  });

  it('is no such thing when male or spayed', () => {
    expect(reproductionOf(tables, { ...fern, neutered: true }, today).phase).toBeNull();
    expect(reproductionOf(tables, { ...fern, sex: 'male' }, today).phase).toBeNull();
    expect(reproductionOf(tables, fern, '2026-11-09').phase).toBeNull();
  });
});

describe('nutrients a day', () => {
  it('shows the table’s figure and the dog’s own', () => {
    const both = bothTargets(tables, known(morag, 15_900).eater);
    if (both === null) throw new Error('no need');
    const protein = nutrientGroups(tables, both)[0]?.rows[0];
    // 25 g at 130 kcal for each kg^0.75 are 3.25 g for each, times 7.96: 25.9 g a day.
    expect(protein).toMatchObject({ title: 'Protein', figure: '25.9', unit: 'g' });
    expect(protein?.detail).toBe('36.5 g per 1000 kcal; the table’s own 25.0');
    expect(correctionWords('Morag', both)).toContain('1.46 times as much');
  });

  it('follows the yardstick of the household', () => {
    app.standard = 'aafco-2016';
    const { eater } = known(morag, 15_900);
    const both = bothTargets(tables, eater);
    expect(both?.table.edition).toBe('aafco-2016');
    expect(both && correctionWords('Morag', both)).toContain('prints no correction');
    const kitchen = kitchenOf(tables, []);
    const protein = verdict(kitchen, [{ food: 'usda-23562', mass_g: 500 }], [eater]).rows.find(
      (row) => row.nutrient === 'protein',
    );
    expect(protein?.reading.minimum).toBeGreaterThanOrEqual(45);
    app.standard = 'a yardstick these tables lack';
    expect(editionIn(tables)).toBe('nrc-2006');
    app.standard = null;
  });
});

describe('a weight plan', () => {
  const judged = (bcs: number, mcs: 'normal' | 'moderate' = 'normal') =>
    rec('condition', 'c', { dog: 'd', at: '2026-11-20T08:00:00Z', bcs, mcs });

  it('is for the vet first when the dog is old', () => {
    const { eater, mass_g } = known(morag, 19_000);
    const found = planOf(tables, morag, {
      eater,
      mass_g,
      ...lastJudged([judged(7)]),
      intake_kcal: 800,
    });
    expect(found?.goal).toBe('lose');
    expect(found && whyNotWords(found)).toContain('only with a vet');
    const agreed = { ...morag, weight_plan: { goal: 'lose' as const, agreed_with_vet: true } };
    const plan = planOf(tables, agreed, {
      eater,
      mass_g,
      ...lastJudged([judged(7)]),
      intake_kcal: 800,
    });
    expect(plan?.starts.map((each) => each.method)).toContain('intake');
  });

  it('is for the vet first when muscle was lost, though the score was judged another day', () => {
    const { eater, mass_g } = known({ ...morag, born: { date: '2020-05-01' } }, 19_000);
    const values = { dog: 'd', at: '2026-11-22T08:00:00Z', mcs: 'marked' as const };
    const judgedLast = lastJudged([judged(7), rec('condition', 'm', values)]);
    const found = planOf(tables, morag, { eater, mass_g, ...judgedLast, intake_kcal: 800 });
    expect(found?.starts).toEqual([]);
    expect(found && whyNotWords(found)).toContain('Muscle was lost');
  });

  it('is not given without a score', () => {
    const { eater, mass_g } = known(morag, 19_000);
    const found = planOf(tables, morag, { eater, mass_g, ...lastJudged([]), intake_kcal: null });
    expect(found && whyNotWords(found)).toContain('body condition');
  });
});
