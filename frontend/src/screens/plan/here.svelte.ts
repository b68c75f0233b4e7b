/** Who holds the phone, where and when: what most screens of the kitchen ask. */
import { app } from '../../db/store.svelte';
import { asInstant, dayOf } from '../../ui/days';
import { router } from '../../router.svelte';
import { scaleMass, type Units } from '../../ui/words';

/** The household's time zone. */
export function zone(): string {
  return app.household?.time_zone ?? 'UTC';
}

/** This moment, as records hold it. */
export function now(): string {
  return asInstant(Date.now());
}

/** Today in the household's time zone. */
export function today(): string {
  return dayOf(Date.now(), zone());
}

/** The units of the member who holds the phone. */
export function units(): Units {
  // The members come after the session: a form that is open by then must not change its unit.
  return app.member?.units ?? app.household?.units ?? 'metric';
}

/** A mass as the member's kitchen scale shows it. */
export function onScale(mass_g: number): string {
  return scaleMass(mass_g, units());
}

/** A member's name, "You" for the one who holds the phone. */
export function whom(memberId: string | null): string {
  if (memberId === null) return 'Somebody';
  if (memberId === app.household?.member_id) return 'You';
  // Until the members are here nobody can be said to have left.
  if (app.details === null) return 'Somebody';
  return app.members.find((member) => member.id === memberId)?.name ?? 'Somebody who left';
}

/** Members who still belong to the household, without the one who holds the phone. */
export function others(): readonly { readonly id: string; readonly name: string }[] {
  return app.members.filter((member) => member.id !== app.member?.id && !member.removed);
}

/** Opens another screen. */
export function go(href: string): void {
  router.go(href);
}

/** How many people share the household: the mark draws as many phones. */
export function people(): number {
  return app.members.filter((member) => !member.removed).length;
}
