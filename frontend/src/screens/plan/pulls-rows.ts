/** Pulls in words: what to move, between when and when, how long it takes, and who says so. */
import type { Rec } from '../../db/store.svelte';
import {
  earliestOf,
  fridgeOf,
  inFridgeSince,
  inWaterSince,
  phaseOf,
  windowOf,
  type Moved,
  type Window,
} from '../../domain/thaw-duty';
import type { ThawTime } from '../../domain/thaw';
import type { Tables } from '../../domain/tables';
import {
  addDays,
  clockOf,
  dayOf,
  dayWords,
  instantAt,
  momentWords,
  weekdayOf,
} from '../../ui/days';
import { counted, fixed, storeMass, type Units } from '../../ui/words';
import { sourceWords } from '../stores/keeping';
import type { Shelves } from '../stores/larder';
import { bagTitle, placeTitle } from '../stores/store-rows';
import { isRawWhileAway, RAW_WHILE_AWAY } from '../today/travel';
import type { Thaw, ThawWay } from '../stores/stock-list';
import type { PullState } from './pulls';
import { packMass_g, physicsOf, thingOf, type Physics, type Thing } from './pulls-physics';

export interface PullSetting {
  readonly tables: Tables | null;
  readonly larder: Shelves;
  readonly names: (food: string) => string;
  readonly fridge_c: number | null;
  readonly today: string;
  readonly zone: string;
  readonly units: Units;
}

/** What is to be moved, as a record or as a proposal. */
export interface Load {
  readonly of: string;
  readonly packs: number;
  readonly pack_mass_g: number;
  readonly needed_at: string;
}

export function thingTitle(thing: Thing | null, { names, larder }: PullSetting): string {
  if (thing === null) return 'Taken out of the book';
  if (thing.rec.entity === 'lot') return names(thing.rec.values.food);
  const bag = larder.bags.find((each) => each.rec.rid === thing.rec.rid);
  return bag ? bagTitle(bag, larder) : 'A bag';
}

/** "2 packs of 1 kg", "780 g". */
export function packsWords(packs: number, pack_mass_g: number, units: Units): string {
  const mass = storeMass(pack_mass_g, units);
  return packs === 1 ? mass : `${packs} packs of ${mass}`;
}

export interface PullRow {
  readonly title: string;
  readonly place: string;
  readonly physics: Physics | null;
  readonly window: Window | null;
  readonly needed: number;
  /** What a person has to know before moving it. */
  readonly caveats: readonly string[];
  /** How the figures were come by, what was assumed, and who says so. */
  readonly behind: readonly string[];
}

const CLASS_WORDS: Readonly<Record<string, string>> = {
  ground_meat: 'ground meat',
  stew_meat: 'cut meat',
  poultry_whole: 'poultry',
  poultry_pieces: 'poultry',
  organs: 'offal',
  red_meat_pieces: 'whole red meat',
  fish_oily: 'oily fish',
  fish_lean: 'fish',
  egg_shelled: 'egg',
  cooked: 'cooked food',
};

/** "1 to 2 days". */
export function daysWords(shortest: number, longest: number): string {
  if (shortest === longest) return `${shortest} ${shortest === 1 ? 'day' : 'days'}`;
  return `${shortest} to ${longest} days`;
}

/** Below this, whole hours say too little [hour]. */
const SHORT_HOURS = 3;

/** "11 to 29 h", "0.6 to 1.1 h". */
export function hoursWords(low: number, high: number): string {
  const places = high < SHORT_HOURS ? 1 : 0;
  const [from, to] = [Math.floor(low * 10 ** places), Math.ceil(high * 10 ** places)].map((each) =>
    fixed(each / 10 ** places, places),
  );
  return from === to ? `${to} h` : `${from} to ${to} h`;
}

/** How long it takes by the physics and by the printed rule, and which of them is planned with. */
export function ruleWords(time: ThawTime): string {
  const physics = hoursWords(time.low_hours, time.high_hours);
  const rule = hoursWords(time.rule_low_hours, time.rule_high_hours);
  const governs = time.governed_by === 'rule' ? 'the rule of thumb' : 'the physics';
  return `By physics ${physics}, by the rule of thumb ${rule}: ${governs} is longer and is planned with.`;
}

const FORM_WORDS: Readonly<Record<string, string>> = {
  block: 'a block',
  flat_bag: 'a flat bag',
  log: 'a log',
  piece: 'a piece',
  tray: 'a tray',
};

function assumedWords({ time, form, form_is_assumed }: Physics): string[] {
  const thickness = `${Math.round(time.thickness_mm)} mm thick`;
  const shape = FORM_WORDS[form] ?? form;
  const parts = time.parts_are_assumed ? ['What it is made of is taken as lean meat.'] : [];
  if (form_is_assumed)
    return [`Its form is not noted: ${shape} ${thickness} is assumed.`, ...parts];
  if (time.thickness_is_assumed)
    return [`Its thickness is not noted: ${thickness} is assumed.`, ...parts];
  return parts;
}

/** What a person has to know of a window, beyond its two ends. */
function windowWords({ keeps }: Physics, window: Window): string[] {
  if (keeps === null)
    return ['No chart says how long it keeps once thawed: pull it as late as you can.'];
  if (window.is_too_thick)
    return [
      'Too thick: the outside may be past its days before the middle has thawed. Divide it, freeze it flatter, or thaw it in cold water.',
    ];
  return window.by === 'longest' ? ['Only just: use it at once when it has thawed.'] : [];
}

function keepWords({ keeps }: Physics): string[] {
  if (keeps === null) return [];
  const days = daysWords(keeps.shortest_days, keeps.longest_days);
  return [`Keeps ${days} once thawed, as ${CLASS_WORDS[keeps.class] ?? keeps.class}.`];
}

/** The sources behind a pull: of the thawing time, the rule of thumb and the keeping time. */
function sourcesOf(tables: Tables, physics: Physics): string[] {
  const of = (key: string): string => tables.thaw?.constants[key]?.source ?? '';
  const keys = [of('cleland.factor'), of('heat_transfer.still_air_low'), of('rule.low')];
  const keeps = physics.keeps?.source;
  const all = [...new Set([...keys, ...(keeps === undefined ? [] : [keeps])])];
  return all.filter((key) => key !== '').map((key) => sourceWords(tables.sources, key));
}

export function pullRow(load: Load, setting: PullSetting): PullRow {
  const { tables, larder, units, fridge_c } = setting;
  const thing = thingOf(larder, load.of);
  const fridge = fridgeOf(fridge_c);
  const physics =
    thing && physicsOf(tables, larder, thing, { pack_mass_g: load.pack_mass_g, fridge });
  const needed = Date.parse(load.needed_at);
  const window = physics && windowOf(needed, physics.time, physics.keeps);
  const { place, place_name } = thing?.rec.entity === 'lot' ? thing.rec.values : {};
  return {
    title: `${thingTitle(thing, setting)}, ${packsWords(load.packs, load.pack_mass_g, units)}`,
    place: placeTitle(place ?? 'freezer', place_name),
    physics,
    window,
    needed,
    caveats: physics && window ? windowWords(physics, window) : [],
    behind:
      tables && physics
        ? [
            ruleWords(physics.time),
            ...keepWords(physics),
            ...assumedWords(physics),
            ...sourcesOf(tables, physics),
          ]
        : [],
  };
}

/** What becomes of packs of a thing that were moved at a moment; null while tables are missing. */
export function movedOf(
  thing: Thing,
  given: { readonly since: string; readonly way: ThawWay; readonly pack_mass_g: number },
  { tables, larder, fridge_c }: Pick<PullSetting, 'tables' | 'larder' | 'fridge_c'>,
): Moved | null {
  const { pack_mass_g, way } = given;
  const physics = physicsOf(tables, larder, thing, { pack_mass_g, fridge: fridgeOf(fridge_c) });
  if (!physics || !tables?.thaw) return null;
  const since = Date.parse(given.since);
  if (way === 'cold_water') return inWaterSince(tables.thaw, since, pack_mass_g);
  return inFridgeSince(since, physics.time, physics.keeps);
}

/** What lies thawed of a thing and is not past its days at a moment; what no chart knows counts as good. */
export function goodThaws(
  thing: Thing,
  setting: Pick<PullSetting, 'tables' | 'larder' | 'fridge_c'>,
  at: number,
): Thaw[] {
  return thing.stock.thaws.filter(({ since, way, mass_g }) => {
    const pack_mass_g = Math.min(packMass_g(thing), mass_g);
    const moved = movedOf(thing, { since, way, pack_mass_g }, setting);
    return moved === null || phaseOf(moved, at) !== 'past';
  });
}

/**
 * What lies thawed and is good still when a batch is made. What is in cold water is asked about now:
 * it is used as soon as it has thawed, whatever the hour the batch was planned for.
 */
export function goodForBatch(
  thing: Thing,
  setting: Pick<PullSetting, 'tables' | 'larder' | 'fridge_c'>,
  { ready, now }: { readonly ready: number; readonly now: number },
): Thaw[] {
  const good = goodThaws(thing, setting, Math.max(ready, now));
  const goodNow = goodThaws(thing, setting, now);
  return goodNow.filter((thaw) => thaw.way === 'cold_water' || good.includes(thaw));
}

/** "Moved Wed 17:02 by you", where it was moved and by whom. */
export function movedWords(
  movement: Rec<'movement'>,
  whom: (member: string | null) => string,
  { today, zone }: Pick<PullSetting, 'today' | 'zone'>,
): string {
  const water = movement.values.way === 'cold_water' ? 'Into cold water' : 'Moved';
  const who = whom(movement.made_by).replace('You', 'you');
  return `${water} ${momentWords(movement.values.at, today, zone)} by ${who}`;
}

/** Whole days that a ruler shows, from the day something may be moved to the day it is needed. */
export interface Scale {
  readonly from: number;
  readonly to: number;
}

/** Share of the ruler, as a CSS percentage between 0 and 100. */
export function alongRuler(at: number, { from, to }: Scale): number {
  return Math.min(100, Math.max(0, ((at - from) / (to - from)) * 100));
}

const MS_PER_HOUR = 3_600_000;

/** Whole days of the household that hold every window and every moment of need. */
export function scaleOf(rows: readonly PullRow[], zone: string): Scale {
  const ends = rows.flatMap(({ window, needed }) =>
    window ? [window.earliest ?? window.latest, window.latest, needed] : [needed],
  );
  const first = dayOf(Math.min(...ends), zone);
  const last = dayOf(Math.max(...ends), zone);
  return {
    from: Date.parse(instantAt(first, '00:00', zone)),
    to: Date.parse(instantAt(addDays(last, 1), '00:00', zone)),
  };
}

/** "Wed 15", "Thu 16" above a ruler. */
export function dayHeads({ from, to }: Scale, zone: string): string[] {
  if (!(to > from)) return [];
  const heads: string[] = [];
  // From noon to noon: a day may be an hour longer or shorter where clocks change.
  for (let at = from + 12 * MS_PER_HOUR; at < to; at += 24 * MS_PER_HOUR) {
    const day = dayOf(at, zone);
    heads.push(`${weekdayOf(day).slice(0, 3)} ${Number(day.slice(8))}`);
  }
  return heads;
}

/** Where nobody has said when a batch is made: late in the afternoon. Common practice, no source. */
export function usualReady(day: string, zone: string): string {
  return instantAt(day, '17:00', zone);
}

/** When what was moved has thawed and until when it keeps, one line to a moment. */
export function movedLines(
  pull: PullState,
  setting: PullSetting,
  whom: (member: string | null) => string,
): string[] {
  const { today, zone } = setting;
  const thing = thingOf(setting.larder, pull.rec.values.of);
  const lines = pull.moved.map((movement) => {
    const moved = thing && movedAs(movement, thing, setting);
    const words = movedWords(movement, whom, setting);
    return moved ? `${words}. ${stateWords(moved, { today, zone })}` : `${words}.`;
  });
  return [...new Set(lines)];
}

function movedAs(movement: Rec<'movement'>, thing: Thing, setting: PullSetting): Moved | null {
  const { at, way, mass_g } = movement.values;
  return movedOf(thing, { since: at, way: way ?? 'fridge', pack_mass_g: mass_g }, setting);
}

/** "Thawed by Fri 05:00, use by Sat 09:00, Sun 09:00 at the latest". */
export function stateWords(
  moved: Moved,
  { today, zone }: Pick<PullSetting, 'today' | 'zone'>,
): string {
  const at = (moment: number): string => momentWords(moment, today, zone);
  const thawed = `Thawed by ${at(moved.thawed_by)}`;
  if (moved.use_by === null || moved.at_latest === null)
    return `${thawed}; no chart says how long it keeps.`;
  if (moved.use_by === moved.at_latest) return `${thawed}: use it at once.`;
  return `${thawed}, use by ${at(moved.use_by)}, ${at(moved.at_latest)} at the latest.`;
}

/** Until when a batch is to be made of what was moved for it: its earliest component rules. */
export function batchEnd(pulls: readonly PullState[], setting: PullSetting): string | null {
  const all = pulls.flatMap((pull) => {
    const thing = thingOf(setting.larder, pull.rec.values.of);
    return pull.moved.flatMap((movement) => {
      const moved = thing && movedAs(movement, thing, setting);
      return moved ? [{ moved, title: thingTitle(thing, setting) }] : [];
    });
  });
  const first = earliestOf(all.map(({ moved }) => moved));
  if (first?.use_by == null) return null;
  const ruling = all.find(({ moved }) => moved === first)?.title ?? '';
  return `Make the batch by ${momentWords(first.use_by, setting.today, setting.zone)}: ${ruling} keeps least of what is moved.`;
}

/** What is still to be moved: all of a batch in one row, since it has its own page. */
export interface OpenRow {
  readonly key: string;
  readonly over: string;
  readonly figure: string;
  readonly title: string;
  readonly detail: string;
  readonly who: string | null;
  readonly tone: 'care' | undefined;
  readonly href: string | undefined;
  /** The pull of a meal; a batch opens its page. */
  readonly pull: PullState | null;
}

const GONE = 'less than that lies there';
const LATE = 'too late to be sure of the fridge';

function dueOf(pull: PullState, setting: PullSetting): number {
  const { of, pack_mass_g, needed_at } = pull.rec.values;
  const row = pullRow({ of, packs: pull.to_do.length, pack_mass_g, needed_at }, setting);
  return row.window?.latest ?? row.needed;
}

function dueWords(
  due: number,
  { today, zone }: PullSetting,
  now: number,
): Pick<OpenRow, 'over' | 'figure' | 'tone'> {
  const day = dayWords(dayOf(due, zone), today);
  const isLate = now > due;
  return {
    over: `${isLate ? 'since' : 'by'} ${day}`,
    figure: clockOf(due, zone),
    tone: isLate ? 'care' : undefined,
  };
}

function sentence(parts: readonly string[]): string {
  return parts.filter((part) => part !== '').join(', ');
}

function mealRow(pull: PullState, due: number, setting: PullSetting, now: number): OpenRow {
  const { of, pack_mass_g, needed_at, assignee } = pull.rec.values;
  const row = pullRow({ of, packs: pull.to_do.length, pack_mass_g, needed_at }, setting);
  const meal = `for ${momentWords(needed_at, setting.today, setting.zone)}`;
  const thing = thingOf(setting.larder, of);
  const isGone = thing !== null && thing.stock.in_place_g < pull.to_do.length * pack_mass_g;
  return {
    key: pull.rec.rid,
    ...dueWords(due, setting, now),
    title: row.title,
    detail: sentence([row.place, meal, isGone ? GONE : '', now > due ? LATE : '']),
    who: assignee ?? null,
    href: undefined,
    pull,
  };
}

function batchRow(
  batch: string,
  pulls: readonly PullState[],
  due: number,
  setting: PullSetting,
  now: number,
): OpenRow {
  const number = setting.larder.batches.get(batch)?.values.number;
  const packs = pulls.reduce((sum, { to_do }) => sum + to_do.length, 0);
  const mass_g = pulls.reduce(
    (sum, { rec, to_do }) => sum + to_do.length * rec.values.pack_mass_g,
    0,
  );
  const whose = new Set(pulls.map(({ rec }) => rec.values.assignee ?? null));
  return {
    key: batch,
    ...dueWords(due, setting, now),
    title: `Pulls for ${number == null ? 'a batch' : `batch ${number}`}`,
    detail: sentence([
      counted(packs, 'pack'),
      storeMass(mass_g, setting.units),
      now > due ? LATE : '',
    ]),
    who: whose.size === 1 ? ([...whose][0] ?? null) : null,
    href: `/plan/${batch}/pulls`,
    pull: null,
  };
}

interface Asked {
  readonly now: number;
  /** Only what is to be moved by the end of tomorrow. */
  readonly isSoon: boolean;
  readonly travels: readonly Rec<'travel'>[];
}

/** What is still to be moved, the most urgent first; what falls into days of travelling says so. */
export function openRows(
  pulls: readonly PullState[],
  setting: PullSetting,
  { now, isSoon, travels }: Asked,
): OpenRow[] {
  const end = Date.parse(instantAt(addDays(setting.today, 2), '00:00', setting.zone));
  const open = pulls
    .filter((pull) => pull.to_do.length > 0)
    .map((pull) => ({ pull, due: dueOf(pull, setting), batch: pull.rec.values.batch ?? null }))
    .filter(({ due }) => !isSoon || due < end)
    .sort((a, b) => a.due - b.due);
  const said = (row: OpenRow, due: number): OpenRow =>
    isRawWhileAway('pull', dayOf(due, setting.zone), travels)
      ? { ...row, detail: `${row.detail}. ${RAW_WHILE_AWAY}` }
      : row;
  const seen = new Set<string>();
  return open.flatMap(({ pull, due, batch }) => {
    if (batch === null) return [said(mealRow(pull, due, setting, now), due)];
    if (seen.has(batch)) return [];
    seen.add(batch);
    const own = open.filter((each) => each.batch === batch).map((each) => each.pull);
    return [said(batchRow(batch, own, due, setting, now), due)];
  });
}
