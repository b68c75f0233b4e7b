/** Address to screen. Screens are fetched when first opened; the worker has them all in store. */

import type { Component } from 'svelte';

export type Params = Record<string, string>;

interface Module {
  default: Component<Params>;
}

export interface Match {
  load: () => Promise<Module>;
  params: Params;
  /** Whether it opens without anybody signed in. */
  isPublic: boolean;
}

const screens = import.meta.glob<Module>([
  '../screens/today/Today.svelte',
  '../screens/counter/Counter.svelte',
  '../screens/counter/WeighIn.svelte',
  '../screens/plan/Plan.svelte',
  '../screens/plan/Batch.svelte',
  '../screens/plan/Pulls.svelte',
  '../screens/duties/Duties.svelte',
  '../screens/stores/Stores.svelte',
  '../screens/stores/OwnFood.svelte',
  '../screens/stores/Labels.svelte',
  '../screens/stores/Scan.svelte',
  '../screens/stores/Lasting.svelte',
  '../screens/stores/Lot.svelte',
  '../screens/review/Review.svelte',
  '../screens/dogs/Dogs.svelte',
  '../screens/dogs/Dog.svelte',
  '../screens/dogs/Balance.svelte',
  '../screens/dogs/Needs.svelte',
  '../screens/waiting/Waiting.svelte',
  '../screens/history/History.svelte',
  '../screens/household/Household.svelte',
  '../screens/account/SignIn.svelte',
  '../screens/account/SignUp.svelte',
  '../screens/account/Join.svelte',
  '../screens/first-run/FirstRun.svelte',
]);

/** Pattern, file under screens/. A word after a colon is a parameter, the screen's prop. */
const ROUTES: readonly (readonly [pattern: string, file: string])[] = [
  ['/', 'today/Today'],
  ['/today', 'today/Today'],
  ['/counter', 'counter/Counter'],
  ['/counter/:rid', 'counter/WeighIn'],
  ['/plan', 'plan/Plan'],
  ['/plan/:rid', 'plan/Batch'],
  ['/plan/:rid/pulls', 'plan/Pulls'],
  ['/duties', 'duties/Duties'],
  ['/stores', 'stores/Stores'],
  ['/stores/foods', 'stores/OwnFood'],
  ['/stores/foods/:rid', 'stores/OwnFood'],
  ['/stores/foods/:rid/:doing', 'stores/OwnFood'],
  ['/stores/labels', 'stores/Labels'],
  ['/stores/scan', 'stores/Scan'],
  ['/stores/lasting', 'stores/Lasting'],
  ['/stores/:rid', 'stores/Lot'],
  ['/review', 'review/Review'],
  ['/dogs', 'dogs/Dogs'],
  ['/dogs/:rid', 'dogs/Dog'],
  ['/dogs/:rid/balance', 'dogs/Balance'],
  ['/dogs/:rid/needs', 'dogs/Needs'],
  ['/waiting', 'waiting/Waiting'],
  ['/history/:rid', 'history/History'],
  ['/household', 'household/Household'],
  ['/sign-in', 'account/SignIn'],
  ['/sign-up', 'account/SignUp'],
  ['/join/:token', 'account/Join'],
  ['/first-run', 'first-run/FirstRun'],
];

const PUBLIC = ['account/SignIn', 'account/SignUp', 'account/Join'];

/** A link that was cut short may end within a sign. */
function plain(part: string): string {
  try {
    return decodeURIComponent(part);
  } catch {
    return part;
  }
}

function read(pattern: string, path: string): Params | null {
  const wanted = pattern.split('/');
  const given = path.replace(/(.)\/$/, '$1').split('/');
  if (wanted.length !== given.length) return null;
  const params: Params = {};
  for (const [index, part] of wanted.entries()) {
    const value = given[index] ?? '';
    if (part.startsWith(':')) params[part.slice(1)] = plain(value);
    else if (part !== value) return null;
  }
  return params;
}

export function match(path: string): Match | null {
  for (const [pattern, file] of ROUTES) {
    const params = read(pattern, path);
    const load = screens[`../screens/${file}.svelte`];
    if (params && load) return { load, params, isPublic: PUBLIC.includes(file) };
  }
  return null;
}
