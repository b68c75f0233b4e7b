/** What lies thawing or thawed in the fridge, and until when: for Stores and for Today. */
import { earliestOf, phaseOf, type Moved, type Phase } from '../../domain/thaw-duty';
import { clockOf, dayOf, dayWords, momentWords } from '../../ui/days';
import type { Thing } from '../plan/pulls-physics';
import { packMass_g } from '../plan/pulls-physics';
import { movedOf, thingTitle, type PullSetting } from '../plan/pulls-rows';
import { packWords, type StoreRow, type StoreSection } from './store-rows';
import type { Thaw } from './stock-list';

function phaseWords(moved: Moved, phase: Phase, way: Thaw['way'], setting: PullSetting): string {
  const at = (moment: number): string => momentWords(moment, setting.today, setting.zone);
  const where = way === 'cold_water' ? ' in cold water' : '';
  switch (phase) {
    case 'thawing':
      return `Thawing${where}. Thawed by ${at(moved.thawed_by)}`;
    case 'thawed':
      return moved.use_by === null ? 'Thawed; no chart says how long it keeps' : 'Thawed';
    case 'at_once':
      return 'Thawed in cold water: use it at once';
    case 'last_days':
      return `Past the careful day, ${at(moved.at_latest ?? 0)} at the latest`;
    case 'past':
      return way === 'cold_water'
        ? 'Thawed in cold water too long ago: throw it away'
        : 'Past its days: throw it away';
  }
}

const TONES: Readonly<Record<Phase, StoreRow['tone']>> = {
  thawing: undefined,
  thawed: undefined,
  at_once: 'care',
  last_days: 'care',
  past: 'alert',
};

function ending(
  moved: Moved | null,
  { today, zone }: PullSetting,
): Pick<StoreRow, 'over' | 'figure'> {
  if (moved?.use_by == null) return { over: 'use', figure: 'first' };
  if (moved.use_by === moved.at_latest) return { over: 'use', figure: 'at once' };
  return {
    over: `until ${dayWords(dayOf(moved.use_by, zone), today)}`,
    figure: clockOf(moved.use_by, zone),
  };
}

export interface Days {
  readonly words: string;
  readonly isPast: boolean;
}

interface Ending {
  readonly moved: Moved;
  readonly way: Thaw['way'];
}

/** The thawed part of it that is to be used first; what no chart knows comes last. */
function firstEnding(thing: Thing, setting: PullSetting): Ending | null {
  const all = thing.stock.thaws.flatMap(({ since, way, mass_g }): Ending[] => {
    const pack_mass_g = Math.min(packMass_g(thing), mass_g);
    const moved = movedOf(thing, { since, way, pack_mass_g }, setting);
    return moved === null ? [] : [{ moved, way }];
  });
  const first = earliestOf(all.map(({ moved }) => moved));
  return all.find(({ moved }) => moved === first) ?? null;
}

/** Until when what thawed of it is good, or was: its earliest part rules; null where nothing thaws. */
export function thawDays(thing: Thing, setting: PullSetting, now: number): Days | null {
  if (thing.stock.thaws.length === 0) return null;
  const first = firstEnding(thing, setting);
  const moved = first?.moved;
  if (moved?.use_by == null) return { words: 'Thawed: no chart says how long', isPast: false };
  const phase = phaseOf(moved, now);
  if (phase === 'at_once') return { words: 'Thawed in cold water: use it at once', isPast: false };
  const isPast = phase === 'past';
  if (isPast && first?.way === 'cold_water')
    return { words: 'Thawed in cold water too long ago', isPast };
  const isLast = isPast || phase === 'last_days';
  const until = isLast ? (moved.at_latest ?? moved.use_by) : moved.use_by;
  const words = momentWords(until, setting.today, setting.zone);
  return { words: isPast ? `Past its days since ${words}` : `Good until ${words}`, isPast };
}

/** One entry of the fridge: what it is, since when, thawed when, until when. */
function fridgeRow(thing: Thing, thaw: Thaw, setting: PullSetting, now: number): StoreRow {
  const { today, zone, units } = setting;
  const pack_mass_g = Math.min(packMass_g(thing), thaw.mass_g);
  const moved = movedOf(thing, { since: thaw.since, way: thaw.way, pack_mass_g }, setting);
  const phase = moved === null ? null : phaseOf(moved, now);
  const since = `in since ${momentWords(thaw.since, today, zone)}`;
  return {
    key: `${thing.rec.rid} ${thaw.since} ${thaw.way}`,
    ...ending(moved, setting),
    title: thingTitle(thing, setting),
    // While it thaws, when it will have says more than when it went in.
    detail: [
      moved && phase ? phaseWords(moved, phase, thaw.way, setting) : '',
      phase === 'thawing' ? '' : since,
    ]
      .filter(Boolean)
      .join(', '),
    aside: packWords(thaw.mass_g, packMass_g(thing), units),
    href: `/stores/${thing.rec.rid}`,
    tone: phase === null ? undefined : TONES[phase],
  };
}

/** Everything that was taken out to thaw and is still there, what went in first on top. */
export function fridgeRows(setting: PullSetting, now: number): StoreRow[] {
  const { lots, bags } = setting.larder;
  const things: readonly Thing[] = [...lots, ...bags];
  return things
    .flatMap((thing) => thing.stock.thaws.map((thaw) => ({ thing, thaw })))
    .sort((a, b) => a.thaw.since.localeCompare(b.thaw.since))
    .map(({ thing, thaw }) => fridgeRow(thing, thaw, setting, now));
}

/** The same as a section of the stores; none where nothing thaws. */
export function fridgeSection(setting: PullSetting, now: number): StoreSection[] {
  const rows = fridgeRows(setting, now);
  return rows.length === 0
    ? []
    : [{ key: 'thawing', title: 'Thawing', aside: 'in the fridge', rows }];
}
