import { describe, expect, it } from 'vitest';
import vectors from '../../../../fixtures/vectors/labels.json' with { type: 'json' };
import { composed } from '../../domain/own-foods';
import type { Tables } from '../../domain/tables';
import { canSetBone, copyTyped, newCopy, readCopy } from './copy-form';
import { compositionOf, ownKindWords, perServing } from './food-page';
import { formOptions, newLine, readLines, unitOptions } from './lines-form';
import {
  cautionsFor,
  emptySupplement,
  readSupplement,
  supplementRow,
  supplementTyped,
} from './supplement-form';

const tables = vectors.tables as unknown as Tables;
const zinc = { ...newLine(tables, 'zinc', { isServing: true }), amount: '15' };
const draft = { ...emptySupplement, name: 'Zinc', mass: '0.5', lines: [zinc] };

describe('a supplement', () => {
  it('is read with the mass of one', () => {
    const { values } = readSupplement(draft, tables);
    expect(values?.serving).toEqual({ unit: 'tablet', mass_g: 0.5, count: 1 });
    expect(supplementRow(draft, tables)?.v.zinc).toBeCloseTo(3000, 9);
    if (values) expect(ownKindWords(values)).toContain('supplement');
  });

  it('says what it lacks', () => {
    expect(readSupplement({ ...draft, mass: '' }, tables).errors?.mass).toContain('weighed');
    expect(readSupplement({ ...draft, lines: [] }, tables).errors?.more).toContain('one line');
    expect(readSupplement({ ...draft, name: '' }, tables).errors?.name).toContain('called');
    const heavy = { ...draft, lines: [{ ...zinc, amount: '900' }] };
    expect(readSupplement(heavy, tables).errors?.more).toContain('more than');
  });

  it('needs the form of an international unit', () => {
    const line = { ...newLine(tables, 'vitamin_e', { isServing: true }), amount: '30' };
    expect(line.unit).toBe('IU/serving');
    expect(readLines([line]).errors[line.id]).toContain('form');
    const forms = formOptions(tables, line).map((form) => form.value);
    expect(forms).toContain('dl_alpha_acetate');
    expect(readLines([{ ...line, form: 'd_alpha_acetate' }]).errors).toEqual({});
    // Zinc has no international unit, and its salts are offered by name.
    const units = unitOptions(tables, 'zinc', true).map((unit) => unit.value);
    expect(units).not.toContain('IU/serving');
    expect(formOptions(tables, zinc)[0]?.label).toContain('elemental');
  });

  it('leaves the fatty acids of an oil unknown where only its fat is listed', () => {
    const fat = { ...newLine(tables, 'fat', { isServing: true }), amount: '500' };
    const row = supplementRow({ ...draft, lines: [fat] }, tables);
    expect([row?.v.linoleic, row?.high?.linoleic]).toEqual([undefined, 100]);
  });

  it('adds up what two compounds bring of one nutrient', () => {
    // As labels print it: zinc oxide 10 mg, zinc chelate 15 mg.
    const oxide = { ...newLine(tables, 'zinc', { isServing: true }), amount: '10' };
    const row = supplementRow({ ...draft, lines: [oxide, zinc] }, tables);
    expect(row?.v.zinc).toBeCloseTo(5000, 9);
  });

  it('comes back as it was typed', () => {
    const { values } = readSupplement(draft, tables);
    const again = values && supplementTyped(values);
    expect(
      again && { ...again, lines: again.lines.map((each) => ({ ...each, id: zinc.id })) },
    ).toEqual(draft);
  });

  it('is shown with its cautions', () => {
    const row = (moment: string) => ({ key: moment, moment, text: '', source: '' });
    const cautions = ['supplement', 'supplement_zinc', 'supplement_iron'].map(row);
    expect(cautionsFor({ cautions }, ['zinc']).map((each) => each.key)).toEqual([
      'supplement',
      'supplement_zinc',
    ]);
  });

  it('says what one of it holds', () => {
    const row = supplementRow(draft, tables);
    expect(row && perServing(tables, row, 0.5)).toEqual([{ name: 'Zinc', amount: '15.0 mg' }]);
  });
});

describe('a copy', () => {
  const base = tables.foods.find((food) => food.key === 'cut-chicken-back');
  if (base === undefined) throw new Error('The vectors lack the cut.');

  it('changes the figures that are typed and no others', () => {
    expect(canSetBone(tables, base)).toBe(true);
    const typed = { ...newCopy(base), bone: '30', own: [{ nutrient: 'calcium', amount: '700' }] };
    const { values } = readCopy(typed, base, tables);
    if (values === null) throw new Error('The copy was not read.');
    expect(copyTyped(values)).toEqual(typed);
    const row = composed(tables, values, 'own');
    const lines = row === null ? [] : compositionOf(tables, row, values).flatMap((g) => g.lines);
    expect(lines.find((line) => line.key === 'calcium')).toMatchObject({
      figure: '700',
      whose: 'your own figure',
    });
    const unknown = lines.filter((line) => !line.isKnown).map((line) => line.key);
    expect(unknown).toContain('taurine');
  });

  it('says what is wrong', () => {
    const errors = (change: object) =>
      readCopy({ ...newCopy(base), ...change }, base, tables).errors;
    expect(errors({})?.own).toContain('at least one figure');
    expect(errors({ bone: '130' })?.bone).toContain('between 0 and 100');
    expect(errors({ bone: 'much' })?.bone).toContain('no number');
    expect(errors({ own: [{ nutrient: 'fat', amount: '90' }] })?.own).toContain('add up to');
  });
});
