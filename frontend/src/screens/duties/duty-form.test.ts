import { describe, expect, it } from 'vitest';
import { validate } from '../../db/store.svelte';
import { INES, CALLUM } from '../../test/phone';
import { choosable, dutyFrom, formOf, missing, newForm, rotaFrom } from './duty-form';
import { repeatWords, turnsWords } from './duty-words';

const form = newForm('2026-11-25');

describe('the form of a duty', () => {
  it('gives what the server takes, once and again and again', () => {
    const once = dutyFrom({ ...form, people: [INES] }, 'Europe/London');
    expect(once).toMatchObject({ what: 'shop', due_at: '2026-11-25T18:00:00Z', assignee: INES });
    expect(validate('duty', { ...once }, { creating: true })).toBeNull();
    const days = rotaFrom({ ...form, how: 'days', every_days: 3, people: [INES, CALLUM] });
    expect(validate('rota', { ...days }, { creating: true })).toBeNull();
    const weekly = rotaFrom({ ...form, how: 'weekdays', weekdays: ['sat', 'tue'] });
    expect(validate('rota', { ...weekly }, { creating: true })).toBeNull();
  });

  it('opens with what the rota holds and gives it back unchanged', () => {
    const rota = rotaFrom({ ...form, title: 'Ox heart', how: 'weekdays', weekdays: ['sat'] });
    expect(rotaFrom(formOf(rota))).toEqual(rota);
  });

  it('lets somebody who left be taken out of the turns', () => {
    const opened = { ...form, people: [CALLUM, INES] };
    expect(choosable([{ id: INES }], opened)).toEqual([INES, CALLUM]);
    expect(choosable([{ id: INES }], form)).toEqual([INES]);
  });

  it('says what is missing', () => {
    expect(missing(form)).toBeUndefined();
    expect(missing({ ...form, day: '' })).toBe('A day first');
    expect(missing({ ...form, day: '0026-12-01' })).toBe('Check the day');
    expect(missing({ ...form, day: '20261-12-01' })).toBe('Check the day');
    expect(missing({ ...form, time: '' })).toBe('A time first');
    expect(missing({ ...form, what: 'other' })).toBe('A title first');
    expect(missing({ ...form, how: 'weekdays' })).toBe('A weekday first');
    expect(missing({ ...form, title: 'x'.repeat(121) })).toBe('A shorter title first');
  });

  it('never comes on no day', () => {
    const never = rotaFrom({ ...form, how: 'weekdays' });
    expect(validate('rota', { ...never }, { creating: true })).not.toBeNull();
  });
});

describe('a rota in words', () => {
  it('says how often', () => {
    expect(repeatWords({ repeats: { every_days: 1 } })).toBe('every day');
    expect(repeatWords({ repeats: { every_days: 3 } })).toBe('every 3 days');
    expect(repeatWords({ repeats: { every_days: 7 } })).toBe('every week');
    expect(repeatWords({ repeats: { every_days: 14 } })).toBe('every 2 weeks');
    expect(repeatWords({ repeats: { weekdays: ['sat', 'tue'] } })).toBe(
      'every Tuesday and Saturday',
    );
  });

  it('says whose turn it is', () => {
    const setting = {
      today: '2026-11-25',
      zone: 'UTC',
      dogName: () => null,
      travels: [],
      whom: (id: string | null) => (id === INES ? 'You' : 'Callum'),
    };
    expect(turnsWords({ turns: [INES, CALLUM] }, setting)).toBe('You and Callum in turns');
    expect(turnsWords({ turns: [CALLUM, INES] }, setting)).toBe('Callum and you in turns');
    expect(turnsWords({ turns: [CALLUM] }, setting)).toBe('Callum');
    expect(turnsWords({ turns: [] }, setting)).toBe('Anyone');
  });
});
