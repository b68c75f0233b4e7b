import { describe, expect, it } from 'vitest';
import { dutyFor, noteOf, titleOf } from './decide';

const alert = {
  key: 'weight_loss',
  title: 'Morag is losing weight',
  since: '2026-10-12',
  certainty: 'Sure.',
  text: 'Six weeks.',
  next: 'weigh her twice a week on the same scale; if it goes on for two weeks, ring the vet.',
  source: 'x',
};

const deciding = {
  alert,
  dog: 'morag',
  assignee: 'ines',
  week: '2026-W47',
  today: '2026-11-25',
  zone: 'Europe/Berlin',
};

describe('dutyFor', () => {
  it('takes the first thing to do as the title and gives it three days', () => {
    expect(dutyFor(deciding)).toEqual({
      what: 'weigh',
      title: 'Weigh her twice a week on the same scale',
      dog: 'morag',
      due_at: '2026-11-28T17:00:00Z',
      assignee: 'ines',
      note: 'From the review of week 47, 2026: Morag is losing weight',
    });
  });

  it('is due this evening when it says today', () => {
    const urgent = { ...alert, next: 'ring the vet today with the weights.' };
    expect(dutyFor({ ...deciding, alert: urgent })).toMatchObject({
      what: 'ring_vet',
      due_at: '2026-11-25T17:00:00Z',
    });
  });

  it('never makes a title too long for a duty', () => {
    const long = { ...alert, next: 'watch her '.repeat(40) };
    expect(titleOf(long).length).toBeLessThanOrEqual(120);
    expect(noteOf(alert, '2026-W07')).toContain('week 7, 2026');
  });
});
