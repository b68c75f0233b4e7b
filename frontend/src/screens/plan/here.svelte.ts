/** Who holds the phone, where and when: what most screens of the kitchen ask. */
import { app } from '../../db/store.svelte';
import { asInstant, dayOf } from '../../ui/days';
import { router } from '../../router.svelte';
import type { Units } from '../../ui/words';

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
  return app.member?.units ?? 'metric';
}

/** A member's name, "You" for the one who holds the phone. */
export function whom(memberId: string | null): string {
  if (memberId === null) return 'Somebody';
  if (memberId === app.member?.id) return 'You';
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
