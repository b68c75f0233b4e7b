import { expect, test } from 'vitest';
import { noticesFor, type Situation } from './notices.ts';
import { match } from './routes.ts';

const CALM: Situation = {
  trouble: null,
  pause: null,
  secure: true,
  updateReady: false,
  isFetching: false,
  online: true,
  clockOffset_ms: 0,
  isShort: false,
};

test('short of room is urgent, says what to do, and leads to more', () => {
  const [notice] = noticesFor({ ...CALM, isShort: true });
  expect(notice).toMatchObject({ key: 'room', isUrgent: true, href: '/waiting' });
  expect(notice?.words).toMatch(/Delete photos/);
});

test('half a first fetch is said to be half, with and without a link', () => {
  const [fetching] = noticesFor({ ...CALM, isFetching: true });
  expect(fetching?.words).toMatch(/^Fetching .* not complete yet/);
  const [cut] = noticesFor({ ...CALM, isFetching: true, online: false });
  expect(cut?.words).toMatch(/^Not all .* are here yet/);
});

test('a clock that is off is said, with how much and what to do', () => {
  expect(noticesFor({ ...CALM, clockOffset_ms: -9 * 60_000 })).toEqual([]);
  const [ahead] = noticesFor({ ...CALM, clockOffset_ms: -3 * 3_600_000 });
  expect(ahead?.words).toContain('3 hours ahead of the server’s');
  const [behind] = noticesFor({ ...CALM, clockOffset_ms: 3 * 86_400_000 });
  expect(behind?.words).toContain('3 days behind the server’s');
});

test('where all is well nothing is said', () => {
  expect(noticesFor(CALM)).toEqual([]);
});

test('trouble with the store comes first, and is urgent', () => {
  const notices = noticesFor({ ...CALM, trouble: 'newer', updateReady: true, secure: false });
  expect(notices.map((notice) => notice.key)).toEqual(['newer', 'update', 'insecure']);
  expect(notices.map((notice) => notice.isUrgent)).toEqual([true, false, false]);
});

test('signed out: what is typed is kept, and there is a way in', () => {
  const [notice] = noticesFor({ ...CALM, pause: 'not_authenticated' });
  expect(notice).toMatchObject({ href: '/sign-in' });
  expect(notice?.words).toMatch(/kept on this phone/);
});

test('an update is a person’s tap', () => {
  const [notice] = noticesFor({ ...CALM, updateReady: true });
  expect(notice).toMatchObject({ action: 'update', button: 'Update' });
});

const RID = '018f0000-0000-7000-8000-000000000001';

test.each([
  ['/', {}],
  ['/today', {}],
  ['/today/', {}],
  ['/counter', {}],
  [`/counter/${RID}`, { rid: RID }],
  ['/plan', {}],
  [`/plan/${RID}`, { rid: RID }],
  ['/stores', {}],
  ['/stores/foods', {}],
  [`/stores/${RID}`, { rid: RID }],
  ['/review', {}],
  ['/dogs', {}],
  [`/dogs/${RID}`, { rid: RID }],
  [`/dogs/${RID}/balance`, { rid: RID }],
  ['/waiting', {}],
  [`/history/${RID}`, { rid: RID }],
  ['/household', {}],
  ['/sign-in', {}],
  ['/sign-up', {}],
  ['/join/a%20token', { token: 'a token' }],
  ['/first-run', {}],
])('%s has a screen', (path, params) => {
  expect(match(path)?.params).toEqual(params);
});

test('a link cut short within a sign is one that nobody knows, and breaks nothing', () => {
  expect(match('/join/abc%E2%8')?.params).toEqual({ token: 'abc%E2%8' });
});

test('what needs nobody signed in is public, all else is not', () => {
  expect(match('/join/abc')?.isPublic).toBe(true);
  expect(match('/today')?.isPublic).toBe(false);
});

test.each(['/nothing', '/dogs/a/b/c', '/todayish', '/counter/a/b'])('%s has none', (path) => {
  expect(match(path)).toBeNull();
});
