import { describe, expect, it } from 'vitest';
import vectors from '../../../../fixtures/vectors/mealtimes.json' with { type: 'json' };
import { create, record, remove, type Rec } from '../../db/store.svelte';
import type { FoodRow } from '../../domain/tables';
import { signedIn } from '../../test/home';
import { ModelServer } from '../../test/model-server';
import { Phone } from '../../test/phone';
import { eatersOf, mealsPerDay, mealsWords, noDogs, readDogs, whoMayNotHave } from './eaters';

const morag = { rid: 'morag', values: { name: 'Morag', may_not_have: ['heart'] } } as Rec<'dog'>;
const angus = { rid: 'angus', values: { name: 'Angus' } } as Rec<'dog'>;
const kind = (key: string) => ({ key: key === 'ours' ? 'heart' : key }) as FoodRow;

describe('who may not have a food', () => {
  it('is told of the food and of a copy of it, also before the dog was weighed', () => {
    const all = { ...noDogs, dogs: [morag, angus] };
    const moment = { today: '2026-11-28', tables: null };
    const eaters = eatersOf(all, ['morag', 'angus'], moment);
    const who = (food: string) => whoMayNotHave(eaters, food, { kind });
    expect([who('heart'), who('ours'), who('spleen')]).toEqual([['Morag'], ['Morag'], []]);
  });
});

interface Given {
  readonly dogs: readonly string[] | null;
  readonly archived?: boolean;
  readonly gone?: boolean;
}

/** Writes the mealtimes of a case on this phone; the dog they are counted for. */
async function written(mealtimes: readonly Given[]): Promise<string> {
  const dogs: Record<string, string> = {};
  for (const name of ['Morag', 'Tansy']) dogs[name] = await create('dog', { name });
  for (const { dogs: names, archived, gone } of mealtimes) {
    const rid = await create('mealtime', {
      name: 'Supper',
      time: '17:30',
      dogs: names?.flatMap((name) => dogs[name] ?? []) ?? null,
      archived: archived ?? null,
    });
    const kept = gone ? await record('mealtime', rid) : undefined;
    if (kept) await remove(kept);
  }
  return dogs['Morag'] ?? '';
}

describe('the meals of a day', () => {
  it.each(vectors.cases)('are counted as the server does: $name', async (given) => {
    const phone = await Phone.open(new ModelServer());
    signedIn({ time_zone: 'UTC' });
    await phone.do(async () => {
      const dog = await written(given.mealtimes);
      expect(mealsPerDay((await readDogs()).mealtimes, dog)).toBe(given.meals_a_day);
    });
  });

  it('are two where no mealtime is for the dog, so that it has portions, and this is said', () => {
    const [eater] = eatersOf({ ...noDogs, dogs: [morag] }, ['morag'], {
      today: '2026-11-28',
      tables: null,
    });
    expect(eater?.meals_per_day).toBe(2);
    expect(mealsWords([], 'morag')).toBe('taken as twice a day');
    const mealtime = { values: { dogs: null } } as Rec<'mealtime'>;
    const often = [1, 2, 3].map((count) =>
      mealsWords(Array<typeof mealtime>(count).fill(mealtime), 'morag'),
    );
    expect(often).toEqual(['once a day', 'twice a day', 'three times a day']);
  });
});
