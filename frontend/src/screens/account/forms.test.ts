import { describe, expect, it } from 'vitest';
import { ApiError, NoAnswer } from '../../api/client';
import { emailError, passwordError, troubleOf, waitWords } from './forms';

describe('trouble at the door', () => {
  it('says that a silence is a silence, and that nothing typed is gone', () => {
    const trouble = troubleOf(new NoAnswer());
    expect(trouble.title).toBe('No connection to the server');
    expect(trouble.next).toContain('still here');
  });

  it('keeps the words of the server and puts them beside their fields', () => {
    const trouble = troubleOf(new ApiError(400, 'email_taken', 'Taken.', { email: ['Taken.'] }));
    expect(trouble).toEqual({ title: 'Taken.', next: undefined, fields: { email: 'Taken.' } });
  });

  it('says how long to wait', () => {
    expect(troubleOf(new ApiError(429, 'throttled', 'Too many tries.', {}, 130)).next).toBe(
      'try again in 3 minutes.',
    );
    expect(waitWords(30)).toBe('30 seconds');
  });

  it('stops slips before they are sent', () => {
    expect(emailError('ines@example.org')).toBeNull();
    expect(emailError('ines')).toContain('“ines”');
    expect(passwordError('short')).toContain('5 characters');
    expect(passwordError('kettle lamp north')).toBeNull();
  });
});
