import { expect, test } from 'vitest';
import { leavingWords, signOutWords } from './sign-out-words';

test('fault_23 signing out says how many entries stay behind, and that they are kept', () => {
  const words = signOutWords({ waiting: 3, refused: 0, held: 0 }).join(' ');
  expect(words).toContain(
    '3 waiting. 3 entries of yours have not been sent. They stay on this phone',
  );
  expect(words).toContain('never sent as theirs');
});

test('fault_22 those of another member and refused ones are told apart from one’s own', () => {
  const words = signOutWords({ waiting: 2, refused: 1, held: 2 }).join(' ');
  expect(words).not.toContain('of yours have');
  expect(words).toContain('2 entries of somebody else wait here too');
  expect(words).toContain('1 entry the server did not take stays here');
});

test('with nothing left to send it says so', () => {
  expect(signOutWords({ waiting: 0, refused: 0, held: 0 })).toEqual([
    'Everything written here has been sent. Signing in again brings it back.',
  ]);
});

test('who leaves is told what never reached the household', () => {
  expect(leavingWords({ waiting: 0, refused: 0, held: 0 })).toHaveLength(1);
  expect(leavingWords({ waiting: 2, refused: 1, held: 0 })[1]).toBe(
    '3 entries on this phone have not reached it, and are not sent once you have left. Send or save them first.',
  );
});
