import { afterEach, expect, it, vi } from 'vitest';
import { app } from '../../db/store.svelte';
import { units, whom } from './here.svelte';

// Without a browser there is no address to follow.
vi.mock('../../router.svelte', () => ({ router: {} }));

const INES = '018f0000-0000-7000-8000-0000000000a1';
const CALLUM = '018f0000-0000-7000-8000-0000000000a2';

afterEach(() => {
  app.household = null;
});

it('knows the own unit and name before the members have come, and says of nobody that they left', () => {
  app.household = {
    id: '018f0000-0000-7000-8000-00000000000a',
    name: 'Quay Brae',
    role: 'owner',
    member_id: INES,
    time_zone: 'America/Los_Angeles',
    units: 'us',
  };
  expect(app.details).toBeNull();
  expect(units()).toBe('us');
  expect(whom(INES)).toBe('You');
  expect(whom(CALLUM)).toBe('Somebody');
});
