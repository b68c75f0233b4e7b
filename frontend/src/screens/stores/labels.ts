/** What a label says of a bag or a pack: printed once, read months later in a dark freezer. */
import { dayOf, shortDay } from '../../ui/days';
import { foodMass, type Units } from '../../ui/words';
import { codeOf } from './codes';
import type { Shelves, Stocked } from './larder';
import { packsSeen } from './stock-list';
import { bagTitle, lotUseBy, untilTitle, type Setting } from './store-rows';

export type Thing = Stocked<'lot'> | Stocked<'bag'>;

export interface Label {
  readonly rid: string;
  readonly title: string;
  readonly mass: string;
  /** "Bagged 28 Nov 2026, Ines". */
  readonly made: string | null;
  /** "Use by 30 Nov 2026"; of frozen lots, and of what the pack prints, "Best by". */
  readonly until: string | null;
  readonly isRaw: boolean;
  readonly code: string;
}

/** On every raw pack. */
export const RAW_WORDS = 'Raw: keep apart, wash hands.';

export interface LabelSetting extends Setting {
  /** The address that the code begins with. */
  readonly origin: string;
  readonly isRawFood: (food: string) => boolean;
  /** A member's own name: a label is read by everybody. */
  readonly nameOf: (member: string | null) => string | null;
}

export function isLot(thing: Thing): thing is Stocked<'lot'> {
  return thing.rec.entity === 'lot';
}

export function packMass_g(thing: Thing): number {
  return isLot(thing) ? thing.rec.values.pack_mass_g : thing.rec.values.mass_g;
}

/** How many packs there are to be labelled; an opened one counts. */
export function packCount(thing: Thing, units: Units): number {
  const found = packsSeen(thing.stock.total_g, packMass_g(thing), units);
  return found === null ? 0 : found.count + (found.rest_g > 0 ? 1 : 0);
}

/** What so many labels say of the mass [g]: whole packs, then what is left of an opened one. */
export function labelMasses_g(thing: Thing, count: number, units: Units): number[] {
  const pack_g = packMass_g(thing);
  const found = packsSeen(thing.stock.total_g, pack_g, units);
  return Array.from({ length: count }, (_, index) =>
    found !== null && index === found.count && found.rest_g > 0 ? found.rest_g : pack_g,
  );
}

/** What a batch holds may be raw unless it was cooked; nobody is harmed by washing hands once more. */
function isRawBag(bag: Stocked<'bag'>, larder: Shelves): boolean {
  return larder.batches.get(bag.rec.values.batch)?.values.method !== 'cooked';
}

/** The label of one pack; `mass_g` where it is not a whole one. */
export function labelOf(
  thing: Thing,
  larder: Shelves,
  setting: LabelSetting,
  mass_g = packMass_g(thing),
): Label {
  const common = {
    rid: thing.rec.rid,
    mass: foodMass(mass_g, setting.units),
    code: codeOf(thing.rec.rid, setting.origin),
  };
  return isLot(thing)
    ? { ...common, ...ofLot(thing, setting) }
    : { ...common, ...ofBag(thing, larder, setting) };
}

/** "28 Nov 2026": the year too, for a pack that lay at the bottom. */
function withYear(day: string): string {
  return shortDay(day, '');
}

type Said = Pick<Label, 'title' | 'made' | 'until' | 'isRaw'>;

function ofLot(lot: Stocked<'lot'>, setting: LabelSetting): Said {
  const { food, frozen_on, bought_on } = lot.rec.values;
  const until = lotUseBy(lot, setting);
  const made = frozen_on ? ['Frozen', frozen_on] : bought_on ? ['Bought', bought_on] : null;
  return {
    title: setting.names(food),
    made: made && `${made[0]} ${withYear(made[1] ?? '')}`,
    until: until && `${untilTitle(lot, until)} ${withYear(until.day)}`,
    isRaw: setting.isRawFood(food),
  };
}

function ofBag(bag: Stocked<'bag'>, larder: Shelves, setting: LabelSetting): Said {
  const { packed_at, use_by } = bag.rec.values;
  const who = setting.nameOf(bag.rec.made_by);
  const day = withYear(dayOf(packed_at, setting.zone));
  return {
    title: bagTitle(bag, larder),
    made: who ? `Bagged ${day}, ${who}` : `Bagged ${day}`,
    until: use_by ? `Use by ${withYear(use_by)}` : null,
    isRaw: isRawBag(bag, larder),
  };
}
