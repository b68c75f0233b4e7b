/**
 * Pulls: which packs are to be moved from freezer to fridge, and which were.
 *
 * What was moved is in the ledger alone: one movement to a pack, with an id that every phone
 * computes from the pull and the number of the pack. Ticked twice, it is there once; a pull whose
 * packs are all there is done.
 */
import {
  create,
  edit,
  packId,
  pullId,
  record,
  records,
  recordsOf,
  remove,
  transact,
  type Rec,
} from '../../db/store.svelte';
import type { Member } from '../../api/accounts';
import { sum } from '../../domain/sums';
import { packsFor, type Stack } from '../../domain/thaw-duty';
import type { Pull } from '../../domain/kinds';
import {
  isInFreezer,
  lotDate,
  movedAt,
  readShelves,
  emptyShelves,
  type Shelves,
  type Stocked,
} from '../stores/larder';
import type { Thaw, ThawWay } from '../stores/stock-list';
import { weighLines, type PutIn } from '../counter/weigh-in';
import type { PlanLine } from './plan';
import type { Thing } from './pulls-physics';

export interface PullState {
  readonly rec: Rec<'pull'>;
  /** Numbers of the packs, from 1, that still lie in the freezer. */
  readonly to_do: readonly number[];
  /** What the ledger holds of it, oldest first. */
  readonly moved: readonly Rec<'movement'>[];
}

export interface Freezer {
  readonly larder: Shelves;
  /** Pulls whose batch is still to be made, and those of meals. */
  readonly pulls: readonly PullState[];
}

export const emptyFreezer: Freezer = { larder: emptyShelves, pulls: [] };

function stateOf(
  rec: Rec<'pull'>,
  movements: ReadonlyMap<string, Rec<'movement'>>,
  moved: readonly Rec<'movement'>[],
): PullState {
  const numbers = Array.from({ length: rec.values.packs }, (_, index) => index + 1);
  return { rec, moved, to_do: numbers.filter((pack) => !movements.has(packId(rec.rid, pack))) };
}

/** Whether the batch a pull is for can still use it. */
function isWanted(rec: Rec<'pull'>, larder: Pick<Shelves, 'batches'>): boolean {
  const { batch } = rec.values;
  if (!batch) return true;
  const stage = larder.batches.get(batch)?.values.stage;
  return stage === 'planned' || stage === 'weighing';
}

/** Pulls that are still wanted, the one that is needed first in front. */
export async function readPulls(larder: Pick<Shelves, 'batches'>): Promise<PullState[]> {
  const pulls = (await records('pull')).filter((rec) => isWanted(rec, larder));
  const movements = await recordsOf('movement', new Set(pulls.map(({ values }) => values.of)));
  const byId = new Map(movements.map((movement) => [movement.rid, movement]));
  return pulls
    .map((rec) =>
      stateOf(
        rec,
        byId,
        movements.filter((movement) => movement.values.pull === rec.rid),
      ),
    )
    .sort((a, b) => a.rec.values.needed_at.localeCompare(b.rec.values.needed_at));
}

/** Everything the screens of pulls need. Meant for `live`. */
export async function readFreezer(): Promise<Freezer> {
  const larder = await readShelves();
  return { larder, pulls: await readPulls(larder) };
}

/** Mass of a pull that is still frozen [g]. */
export function frozen_g({ rec, to_do }: PullState): number {
  return to_do.length * rec.values.pack_mass_g;
}

/** What lies thawed and was moved for none of these pulls of it [g]; what was used since is not there. */
export function spare_g(thaws: readonly Thaw[], pulls: readonly PullState[]): number {
  const moved = pulls.flatMap((pull) => pull.moved);
  return sum(
    thaws.map(({ since, way, mass_g }) => {
      const promised = moved.filter(
        (each) => movedAt(each) === since && (each.values.way ?? 'fridge') === way,
      );
      return Math.max(0, mass_g - sum(promised.map(({ values }) => values.mass_g)));
    }),
  );
}

/** What lies in its place and no pull has spoken for [g]. */
function freeOf({ rec, stock }: Thing, pulls: readonly PullState[]): number {
  return (
    stock.in_place_g - sum(pulls.filter((pull) => pull.rec.values.of === rec.rid).map(frozen_g))
  );
}

/** What lies in the freezer and is not spoken for, bags first: they are fed as they are. */
export function frozenThings({
  larder,
  pulls,
}: Freezer): { readonly thing: Thing; readonly free_g: number }[] {
  const things: readonly Thing[] = [...larder.bags, ...larder.lots];
  return things
    .filter(isInFreezer)
    .map((thing) => ({ thing, free_g: freeOf(thing, pulls) }))
    .filter(({ free_g }) => free_g > 0);
}

/** A line of a plan that needs packs from the freezer, or that the freezer cannot fill. */
export interface Needed {
  readonly food: string;
  readonly pulls: readonly Proposed[];
  readonly missing_g: number;
}

export interface Proposed {
  readonly of: string;
  readonly pack_mass_g: number;
  /** In all, with those that a pull of this batch names already. */
  readonly packs: number;
}

const foodOf = (lots: readonly Stocked<'lot'>[], of: string): string | undefined =>
  lots.find((lot) => lot.rec.rid === of)?.rec.values.food;

/** What the pulls of a batch find of a lot [g]: what is needed first comes first where it has gone. */
function ownFrozen_g({ rec, stock }: Thing, batch: string, pulls: readonly PullState[]): number {
  let left_g = Math.max(0, stock.in_place_g);
  let own_g = 0;
  for (const pull of pulls.filter((each) => each.rec.values.of === rec.rid)) {
    const part_g = Math.min(left_g, frozen_g(pull));
    left_g -= part_g;
    if (pull.rec.values.batch === batch) own_g += part_g;
  }
  return own_g;
}

/** What lies thawed of a lot and may be used. */
type GoodOf = (lot: Stocked<'lot'>) => readonly Thaw[];

/** What lies ready for a batch without a further pull: thawed, never frozen, or to be pulled [g]. */
function ready_g(food: string, batch: string, { larder, pulls }: Freezer, goodOf: GoodOf): number {
  const lots = larder.lots.filter((lot) => lot.rec.values.food === food);
  const of = pulls.filter(({ rec }) => foodOf(larder.lots, rec.values.of) === food);
  const others = of.filter(({ rec }) => rec.values.batch !== batch);
  // What was thawed for another batch is not there for this one.
  const thawed = sum(
    lots.map((lot) =>
      spare_g(
        goodOf(lot),
        others.filter(({ rec }) => rec.values.of === lot.rec.rid),
      ),
    ),
  );
  const unfrozen = lots.filter((lot) => !isInFreezer(lot));
  const loose = sum(unfrozen.map((lot) => Math.max(0, lot.stock.in_place_g)));
  const own = sum(lots.filter(isInFreezer).map((lot) => ownFrozen_g(lot, batch, of)));
  return thawed + loose + own;
}

/** The freezer's lots of a food, oldest first, with what no pull has spoken for. */
function stacksOf(food: string, { larder, pulls }: Freezer): Stack[] {
  return larder.lots
    .filter((lot) => lot.rec.values.food === food && isInFreezer(lot))
    .sort(
      (a, b) => lotDate(a.rec).localeCompare(lotDate(b.rec)) || a.rec.rid.localeCompare(b.rec.rid),
    )
    .map((lot) => ({
      of: lot.rec.rid,
      pack_mass_g: lot.rec.values.pack_mass_g,
      free_g: Math.max(0, freeOf(lot, pulls)),
    }));
}

/** What of a plan is not in the bowl yet; what is off by no more than a scale's worth is in it. */
export function stillToGo(plan: readonly PlanLine[], putIn: readonly PutIn[]): PlanLine[] {
  return weighLines(plan, putIn)
    .filter(({ is_done }) => !is_done)
    .map(({ food, planned_g, in_bowl_g }) => ({ food, mass_g: (planned_g ?? 0) - in_bowl_g }));
}

/** What a plan still needs from the freezer, food by food; nothing where all is ready. */
export function neededFor(
  batch: string,
  lines: readonly PlanLine[],
  freezer: Freezer,
  goodOf: GoodOf = (lot) => lot.stock.thaws,
): Needed[] {
  return lines.flatMap(({ food, mass_g }): Needed[] => {
    const stacks = stacksOf(food, freezer);
    const isKept = freezer.larder.lots.some((lot) => lot.rec.values.food === food);
    const { taken, missing_g } = packsFor(mass_g - ready_g(food, batch, freezer, goodOf), stacks);
    if (!isKept || (taken.length === 0 && missing_g === 0)) return [];
    const pulls = taken.map(({ of, packs, pack_mass_g }) => {
      const known = freezer.pulls.find(
        ({ rec: { values } }) =>
          values.of === of && values.batch === batch && values.pack_mass_g === pack_mass_g,
      );
      return { of, pack_mass_g, packs: packs + (known?.rec.values.packs ?? 0) };
    });
    return [{ food, pulls, missing_g }];
  });
}

/** A batch, or a meal by the time at which it is fed. */
export type Purpose = Pick<Pull, 'needed_at' | 'assignee'> &
  ({ readonly batch: string } | { readonly mealtime: string | null });

/** An opened pack is a pull of its own: every pack of one pull weighs the same. */
function idFor({ of, pack_mass_g }: Proposed, purpose: Purpose): string {
  const size = String(pack_mass_g);
  return 'batch' in purpose
    ? pullId(of, size, 'batch', purpose.batch)
    : pullId(of, size, 'meal', purpose.needed_at);
}

/** Packs for a meal, with those that are to be moved for it, or were, in the same pull already. */
export function forMeal(more: Proposed, needed_at: string, { pulls }: Freezer): Proposed {
  const rid = idFor(more, { needed_at, mealtime: null });
  const known = pulls.find(({ rec }) => rec.rid === rid);
  return { ...more, packs: more.packs + (known?.rec.values.packs ?? 0) };
}

/**
 * The packs a pull is to name, so that as many as are planned are still to be moved: of one that was
 * taken off the plan, the numbers of those that were moved are not free.
 */
async function packsNamed(planned: number, known: Rec<'pull'> | undefined): Promise<number> {
  if (!known?.gone) return planned;
  const entries = await records('movement', { owner: known.values.of });
  const taken = new Set(entries.map(({ rid }) => rid));
  let named = 0;
  for (let free = 0; free < planned; named += 1)
    if (!taken.has(packId(known.rid, named + 1))) free += 1;
  return named;
}

/** Writes pulls down: one to a lot, size of pack and purpose, wherever and however often somebody accepts them. */
export async function acceptPulls(proposed: readonly Proposed[], purpose: Purpose): Promise<void> {
  const { needed_at, assignee } = purpose;
  const isForBatch = 'batch' in purpose;
  const whatFor = isForBatch ? { batch: purpose.batch } : { mealtime: purpose.mealtime };
  // Who moves what a batch needs was settled when it was first accepted; for a meal one is asked.
  const whose = isForBatch ? {} : { assignee: assignee ?? null };
  const known = await Promise.all(proposed.map((each) => record('pull', idFor(each, purpose))));
  const named = await Promise.all(
    proposed.map(({ packs }, index) => packsNamed(packs, known[index])),
  );
  if (proposed.length === 0) return;
  await transact(async () => {
    for (const [index, each] of proposed.entries()) {
      const { of, packs, pack_mass_g } = each;
      const pull = known[index];
      if (pull && !pull.gone) await edit(pull, { packs, needed_at, ...whose });
      else
        await create(
          'pull',
          { of, pack_mass_g, packs: named[index] ?? packs, needed_at, assignee, ...whatFor },
          idFor(each, purpose),
        );
    }
  });
}

/** The movements of these packs that are in the ledger, by the number of the pack. */
async function movementsOf(
  pull: Rec<'pull'>,
  packs: readonly number[],
): Promise<Map<number, Rec<'movement'>>> {
  const found = await Promise.all(packs.map((pack) => record('movement', packId(pull.rid, pack))));
  return new Map(
    found.flatMap((movement, index) => {
      const pack = packs[index];
      return movement && !movement.gone && pack !== undefined ? [[pack, movement] as const] : [];
    }),
  );
}

export interface Ticked {
  readonly pull: Rec<'pull'>;
  readonly packs: readonly number[];
}

/** Packs have left the freezer: all that are named, or none. What is there already stays as it is. */
export async function movePacks(
  ticked: readonly Ticked[],
  { at, way }: { readonly at: string; readonly way: ThawWay },
): Promise<void> {
  const left = await Promise.all(
    ticked.map(async ({ pull, packs }) => {
      const known = await movementsOf(pull, packs);
      return packs.filter((pack) => !known.has(pack)).map((pack) => ({ pull, pack }));
    }),
  );
  const all = left.flat();
  if (all.length === 0) return;
  await transact(async () => {
    for (const { pull, pack } of all) {
      const { of, pack_mass_g: mass_g } = pull.values;
      const values = { of, what: 'thawed' as const, mass_g, at, pull: pull.rid, way };
      await create('movement', values, packId(pull.rid, pack));
    }
  });
}

/** Takes packs back that were not moved after all. */
export async function unmovePacks(pull: Rec<'pull'>, packs: readonly number[]): Promise<void> {
  const known = await movementsOf(pull, packs);
  if (known.size === 0) return;
  await transact(async () => {
    for (const movement of known.values()) await remove(movement);
  });
}

/** Everything that was changed of a pull in one go: packs moved, packs not moved after all, who does it. */
export async function changePull(
  pull: Rec<'pull'>,
  changes: {
    readonly added: readonly number[];
    readonly taken: readonly number[];
    readonly at: string;
    readonly way: ThawWay;
    readonly assignee: string | null;
  },
): Promise<void> {
  const { added, taken, at, way, assignee } = changes;
  await transact(async () => {
    await movePacks([{ pull, packs: added }], { at, way });
    await unmovePacks(pull, taken);
    await edit(pull, { assignee });
  });
}

/** Members who move food: a sitter plans and stores nothing. */
export function planners(members: readonly Member[]): Member[] {
  return members.filter(({ role, removed }) => role !== 'sitter' && !removed);
}
