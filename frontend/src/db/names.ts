/** What people call a record: by its own name, else by what it belongs to. */

import { kinds } from '../domain/declared.ts';
import { current } from './context.ts';
import { app } from './state.svelte.ts';
import type { Naming } from './words.ts';

interface Named {
  entity: string;
  values: Readonly<Record<string, unknown>>;
}

/** A movement belongs to a bag, the bag to a batch: names are never farther away than this. */
const STEPS = 3;

function isText(value: unknown): value is string {
  return typeof value === 'string';
}

/** The records whose names make up the name of this one. */
function neighbours({ entity, values }: Named): string[] {
  const owner = kinds[entity]?.owner;
  const links = [owner ? values[owner] : null, values['mealtime'], values['dog'], values['food']];
  return [...new Set(links.filter(isText))];
}

function texts(values: Readonly<Record<string, unknown>>): string[] {
  return Object.values(values).flatMap((value): string[] => {
    if (isText(value)) return [value];
    if (typeof value !== 'object' || value === null) return [];
    return texts(value as Record<string, unknown>);
  });
}

async function load(start: Map<string, Named>, rids: Iterable<string>): Promise<void> {
  let wanted = [...new Set(rids)].filter((rid) => !start.has(rid));
  for (let step = 0; step <= STEPS && wanted.length > 0; step += 1) {
    const rows = (await current().db.records.bulkGet(wanted)).filter((row) => row !== undefined);
    for (const row of rows) start.set(row.rid, row);
    wanted = [...new Set(rows.flatMap(neighbours))].filter((rid) => !start.has(rid));
  }
}

/**
 * Names for everything that `sets` mention, and for the records themselves.
 *
 * A refused entry's record may not be on this phone: then its own values name it.
 */
export async function namesFor(sets: readonly (Named & { rid: string })[]): Promise<Naming> {
  const known = new Map<string, Named>();
  await load(
    known,
    sets.flatMap(({ rid, values }) => [rid, ...texts(values)]),
  );
  for (const { rid, entity, values } of sets)
    if (!known.has(rid)) known.set(rid, { entity, values });
  const foods = new Map(app.tables?.foods.map((food) => [food.key, food.name]) ?? []);
  const people = new Map(app.members.map((member) => [member.id, member.name]));

  const nameOf = (id: string, depth: number): string | null => {
    const row = known.get(id);
    if (!row) return foods.get(id) ?? people.get(id) ?? null;
    const { name, number } = row.values;
    if (isText(name) && name !== '') return name;
    if (typeof number === 'number') return `number ${String(number)}`;
    if (depth === 0) return null;
    const parts = neighbours(row).map((other) => nameOf(other, depth - 1));
    return parts.filter((part) => part !== null).join(', ') || null;
  };
  return (id) => nameOf(id, STEPS);
}
