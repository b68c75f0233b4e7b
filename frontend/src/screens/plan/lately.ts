/** What the last fortnight fed and lacked, read from the meals on this phone. */
import { addDays } from '../../ui/days';
import { eatenOf, intakeOf } from '../dogs/balance';
import { varietyOf } from '../dogs/variety';
import { mealsBetween, pantryOf, readTable } from '../today/table';
import type { Eater } from './eaters';
import { verdict } from './judged';
import type { Lately } from './proposing';

export const FORTNIGHT_DAYS = 14;

/** What was eaten before today: today's meals are still being eaten. */
export async function readLately(eaters: readonly Eater[], today: string): Promise<Lately> {
  const [first, last] = [addDays(today, -FORTNIGHT_DAYS), addDays(today, -1)];
  const [table, meals] = await Promise.all([readTable(today), mealsBetween(first, last)]);
  const pantry = pantryOf(table);
  const eaten = eaters.map((eater) => ({ eater, servings: eatenOf(meals, eater.rid, pantry) }));
  const found = varietyOf(
    eaten.flatMap(({ servings }) => servings),
    pantry.kitchen,
    { first, last },
  );
  const fed = new Map((found?.species ?? []).map(({ key, share }) => [key, share ?? 0]));
  const lacked = eaten.map(({ eater, servings }) => {
    const intake = intakeOf(servings);
    const { rows, energy_kcal } = verdict(pantry.kitchen, intake.portions, [eater], {
      eaten_kcal_per_day: intake.unknown_share > 0 ? null : intake.known_kcal_per_day,
      unresolved_g: intake.unresolved_g,
    });
    // Short is said only when even the best case is short: what is unknown is not made up.
    const amounts = rows.flatMap(({ nutrient, word, reading, scale }) => {
      const { minimum, best, known } = reading;
      const there = best ?? known;
      if (word !== 'short' || minimum === null || there === null) return [];
      return [[nutrient, ((minimum - there) * scale * energy_kcal) / 1000] as const];
    });
    return { dog: eater.rid, amounts: new Map(amounts) };
  });
  return { fed, lacked };
}
