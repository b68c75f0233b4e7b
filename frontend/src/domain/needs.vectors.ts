/** How the phone answers the vectors of what one dog needs; nutrition.test.ts runs them. */

import { targets, type DogSize } from './adequacy.ts';
import { energyMethods, type MethodFacts } from './energy-methods.ts';
import { reproduction, type BreedingDays } from './reproduction.ts';
import { totals } from './composition.ts';
import { forDiet, forDog, withCompanions, type Companions, type Eating } from './standards.ts';
import type { Stage, Tables } from './tables.ts';
import { weightPlan, type PlanFacts } from './weight-plan.ts';

interface Named {
  edition: string;
  stage: Stage;
}

export function needFunctions(tables: Tables) {
  return {
    targets: ({ edition, stage, ...dog }: Named & DogSize) => {
      const { limits, ratio, variant } = targets(tables, edition, stage, dog);
      const shown = ['calcium', 'selenium', 'protein', 'copper', 'vitamin_d'];
      return {
        variant,
        ratio,
        limits: Object.fromEntries(shown.map((key) => [key, limits[key]])),
      };
    },
    for_dog: ({ edition, stage, ...eating }: Named & Eating) =>
      forDog(tables, targets(tables, edition, stage), eating),
    with_companions: ({ edition, stage, ...diet }: Named & Companions) => {
      const { limits } = withCompanions(tables, targets(tables, edition, stage), diet);
      return { arginine: limits['arginine'], vitamin_e: limits['vitamin_e'] };
    },
    for_diet: ({ edition, stage, portions }: Named & { portions: [string, number][] }) => {
      const eaten = portions.map(([key, mass_g]) => {
        const food = tables.foods.find((each) => each.key === key);
        if (food === undefined) throw new Error(`The tables have no ${key}.`);
        return [food, mass_g] as const;
      });
      const { limits } = forDiet(tables, targets(tables, edition, stage), totals(tables, eaten));
      return { arginine: limits['arginine'], vitamin_e: limits['vitamin_e'] };
    },
    energy_methods: (given: MethodFacts) =>
      energyMethods(tables.energy, given).map(({ note, locator, ...rest }) => {
        // What stands beside the figures is text of the tables, and not reckoned.
        void [note, locator];
        return rest;
      }),
    reproduction: (given: BreedingDays) => reproduction(tables.energy, given),
    weight_plan: ({ mass_kg, ...facts }: PlanFacts & { mass_kg: number }) =>
      weightPlan(tables.energy, mass_kg, facts),
  };
}
