/** How the phone answers the vectors of what one dog needs; nutrition.test.ts runs them. */

import { targets } from './adequacy.ts';
import { forDog, type Eating } from './standards.ts';
import type { Stage, Tables } from './tables.ts';

interface OwnTargets extends Eating {
  edition: string;
  stage: Stage;
}

export function needFunctions(tables: Tables) {
  return {
    for_dog: ({ edition, stage, ...eating }: OwnTargets) =>
      forDog(tables, targets(tables, edition, stage), eating),
  };
}
