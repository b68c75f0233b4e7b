import { expect, test } from 'vitest';
import { leadsToOneself } from './addresses.ts';

test.each([
  'http://localhost:8000',
  'https://LOCALHOST:8443/calendar/x.ics',
  'http://trencher.localhost',
  'http://127.0.0.1:8000',
  'http://127.0.1.1',
  'http://[::1]:8000/join/x',
])('%s leads each device to itself', (address) => {
  expect(leadsToOneself(address)).toBe(true);
});

test.each([
  'https://dogs.example',
  'http://192.168.1.27:8000/trust#/join/x',
  'https://localhost.example',
  'https://127.0.0.1.example',
  'http://[fd00::1]:8000',
  'http://kitchen.local:8000',
  '',
])('%s leads to one machine', (address) => {
  expect(leadsToOneself(address)).toBe(false);
});
