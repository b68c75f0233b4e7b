import { expect, it } from 'vitest';
import type { Rec } from '../../db/store.svelte';
import { weighingBefore } from './dog-page';

function weighed(rid: string, at: string, mass_g: number): Rec<'weighing'> {
  return { rid, values: { dog: 'morag', at, mass_g } } as Rec<'weighing'>;
}

const september = weighed('september', '2026-09-20T07:00:00Z', 16_200);
const october = weighed('october', '2026-10-11T07:00:00Z', 16_400);
// Entered first, of a later day: the order of entering says nothing.
const weighings = [october, september];

it('a new weighing is compared with the latest, one of an earlier day with the one before that day', () => {
  expect(weighingBefore(weighings, '2026-10-14T07:00:00Z', undefined)).toBe(october);
  expect(weighingBefore(weighings, '2026-10-01T07:00:00Z', undefined)).toBe(september);
});

it('one that is corrected is compared with the one before, not with itself or a later one', () => {
  expect(weighingBefore(weighings, october.values.at, 'october')).toBe(september);
  expect(weighingBefore(weighings, september.values.at, 'september')).toBeUndefined();
});
