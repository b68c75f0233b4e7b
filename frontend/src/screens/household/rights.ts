/** What the member who holds the phone may write, by the same declarations as the server. */
import { app } from '../../db/store.svelte';
import { kinds } from '../../domain/declared';
import type { Entity } from '../../domain/kinds';

export function mayWrite(entity: Entity): boolean {
  const role = app.household?.role;
  return role !== undefined && (kinds[entity]?.write.includes(role) ?? false);
}

export function maySee(entity: Entity): boolean {
  const role = app.household?.role;
  return role !== undefined && (kinds[entity]?.see.includes(role) ?? false);
}
