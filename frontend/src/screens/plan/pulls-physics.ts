/** What a lot or a bag is to the thawing model: its pack, and how long it keeps once thawed. */
import { thawTime, keepsThawed, type Fridge, type Keeps } from '../../domain/thaw-duty';
import type { ThawTime } from '../../domain/thaw';
import { InputError } from '../../domain/input-error';
import { partsOf, type Parts } from '../../domain/thermal';
import type { FoodRow, Tables } from '../../domain/tables';
import type { Shelves, Stocked } from '../stores/larder';

export type Thing = Stocked<'lot'> | Stocked<'bag'>;

/** What nobody described is taken as a block: no form of the same mass takes longer. */
const UNKNOWN_FORM = 'block';
/** Bags are filled and laid flat, unless somebody said otherwise: common practice, no source. */
const USUAL_BAG = 'flat_bag';
/** A raw bag holds many foods: it keeps as the strictest class of raw food in the chart. */
const RAW_BAG = 'ground_meat';

export function thingOf(larder: Shelves, of: string): Thing | null {
  return (
    larder.lots.find((lot) => lot.rec.rid === of) ??
    larder.bags.find((bag) => bag.rec.rid === of) ??
    null
  );
}

export function packMass_g(thing: Thing): number {
  return thing.rec.entity === 'lot' ? thing.rec.values.pack_mass_g : thing.rec.values.mass_g;
}

function rowOf(tables: Tables, larder: Shelves, food: string): FoodRow | null {
  const copied = larder.foods.find((own) => own.rid === food)?.values.copied_from ?? food;
  return tables.foods.find((row) => row.key === copied) ?? null;
}

/** What a food is made of; null where no figure says, as of a salt whose table counts only its metal. */
function partsKnown(row: FoodRow): Parts | null {
  try {
    return partsOf(row.v);
  } catch (error) {
    if (error instanceof InputError) return null;
    throw error;
  }
}

/** The chart's class of what is in it; null where the chart has none. */
export function classOf(tables: Tables, larder: Shelves, thing: Thing): string | null {
  if (thing.rec.entity === 'lot')
    return rowOf(tables, larder, thing.rec.values.food)?.keeping_class ?? null;
  const method = larder.batches.get(thing.rec.values.batch)?.values.method;
  return method === 'cooked' ? 'cooked' : RAW_BAG;
}

export interface Physics {
  readonly time: ThawTime;
  readonly keeps: Keeps | null;
  readonly form: string;
  /** Nobody said which form it has. */
  readonly form_is_assumed: boolean;
}

/** How a pack of it thaws and keeps; null while the phone's tables lack the model. */
export function physicsOf(
  tables: Tables | null,
  larder: Shelves,
  thing: Thing,
  given: { readonly pack_mass_g: number; readonly fridge: Fridge },
): Physics | null {
  if (!tables?.thaw) return null;
  const { form, thickness_mm } = thing.rec.values;
  const row = thing.rec.entity === 'lot' ? rowOf(tables, larder, thing.rec.values.food) : null;
  const pack = {
    mass_g: given.pack_mass_g,
    form: form ?? (thing.rec.entity === 'lot' ? UNKNOWN_FORM : USUAL_BAG),
    thickness_mm: thickness_mm ?? null,
    parts: row && partsKnown(row),
  };
  const keepingClass = classOf(tables, larder, thing);
  return {
    time: thawTime(tables.thaw, pack, given.fridge),
    keeps: keepingClass === null ? null : keepsThawed(tables.keeping, [keepingClass]),
    form: pack.form,
    form_is_assumed: form === null || form === undefined,
  };
}
