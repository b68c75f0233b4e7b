/** The form of a dog: what is typed, and the record it becomes. */
import type { Dog } from '../../domain/kinds';
import { validate } from '../../domain/validate';
import { readAmount } from '../../ui/amounts';
import { addDays, monthsBetween } from '../../ui/days';
import { bodyGrams, bodyUnit, measureBody, type Units } from '../../ui/words';

export type BornBy = 'date' | 'age' | 'unknown';

/** Everything as typed; empty text is nothing said. */
export interface DogDraft {
  name: string;
  breed: string;
  bornBy: BornBy;
  bornOn: string;
  years: string;
  months: string;
  sex: 'female' | 'male' | null;
  neutered: 'yes' | 'no' | null;
  activity: NonNullable<Dog['activity']> | null;
  adultWeight: string;
  vetEnergy: string;
  vetEnergyNote: string;
  vetNotes: string;
  /** Only asked of a female that is not spayed. */
  matedOn: string;
  whelpedOn: string;
  pups: string;
  weanedOn: string;
  /** Only asked for a new dog; it becomes the first weighing. */
  weight: string;
}

export interface Moment {
  readonly today: string;
  readonly units: Units;
}

export const emptyDraft: DogDraft = {
  name: '',
  breed: '',
  bornBy: 'date',
  bornOn: '',
  years: '',
  months: '',
  sex: null,
  neutered: null,
  activity: null,
  adultWeight: '',
  vetEnergy: '',
  vetEnergyNote: '',
  vetNotes: '',
  matedOn: '',
  whelpedOn: '',
  pups: '',
  weanedOn: '',
  weight: '',
};

/** A weight as it would be typed; kilograms and pounds without trailing noughts. */
export function bodyTyped(mass_g: number, units: Units): string {
  return measureBody(mass_g, units).figure.replace(/\.?0+$/, '');
}

/** The least and the most that a dog may weigh, or is to weigh [g]: the kinds' own limits. */
export const WEIGHED_G = { least: 100, most: 150_000 } as const;
export const GROWN_G = { least: 300, most: 150_000 } as const;

interface Limits {
  readonly least: number;
  readonly most: number;
}

/** "0.22 to 330.7 lb". */
export function limitWords({ least, most }: Limits, units: Units): string {
  return `${bodyTyped(least, units)} to ${bodyTyped(most, units)} ${bodyUnit(units)}`;
}

/**
 * Grams of a dog's weight as it was typed; null when no dog weighs that. A limit that is typed as it
 * is shown is the limit: in pounds it is shown rounded.
 */
export function dogGrams(value: number | null, limits: Limits, units: Units): number | null {
  if (value === null) return null;
  const shown = [limits.least, limits.most].find(
    (each) => Number(bodyTyped(each, units)) === value,
  );
  const mass_g = shown ?? bodyGrams(value, units);
  return mass_g < limits.least || mass_g > limits.most ? null : mass_g;
}

export function draftOf(dog: Dog, { today, units }: Moment): DogDraft {
  const months = dog.born ? monthsBetween(dog.born.date, today) : 0;
  const isEstimated = dog.born?.estimated === true;
  return {
    ...emptyDraft,
    name: dog.name,
    breed: dog.breed ?? '',
    bornBy: dog.born ? (isEstimated ? 'age' : 'date') : 'unknown',
    bornOn: dog.born && !isEstimated ? dog.born.date : '',
    years: isEstimated ? String(Math.floor(months / 12)) : '',
    months: isEstimated ? String(months % 12) : '',
    sex: dog.sex ?? null,
    neutered: dog.neutered === true ? 'yes' : dog.neutered === false ? 'no' : null,
    activity: dog.activity ?? null,
    adultWeight: dog.adult_weight_g ? bodyTyped(dog.adult_weight_g, units) : '',
    vetEnergy: dog.energy_vet ? String(dog.energy_vet.kcal_per_day) : '',
    vetEnergyNote: dog.energy_vet?.note ?? '',
    vetNotes: dog.vet_notes ?? '',
    matedOn: dog.reproduction?.mated_on ?? '',
    whelpedOn: dog.reproduction?.whelped_on ?? '',
    pups: typeof dog.reproduction?.pups === 'number' ? String(dog.reproduction.pups) : '',
    weanedOn: dog.reproduction?.weaned_on ?? '',
  };
}

/** Whether mating and pups are asked for. */
export function mayHavePups(draft: Pick<DogDraft, 'sex' | 'neutered'>): boolean {
  return draft.sex === 'female' && draft.neutered === 'no';
}

export type DraftErrors = Partial<Record<keyof DogDraft, string>>;

export type Read =
  | { readonly ok: true; readonly dog: Dog; readonly weight_g: number | null }
  | { readonly ok: false; readonly errors: DraftErrors };

function amount(text: string): number | null | undefined {
  return text.trim() === '' ? undefined : readAmount(text);
}

/** Estimated date of birth of a dog that is so many months old; the day itself is not known. */
export function bornFromAge(months: number, today: string): string {
  const index = Number(today.slice(0, 4)) * 12 + Number(today.slice(5, 7)) - 1 - months;
  const first = `${Math.floor(index / 12)}-${String((index % 12) + 1).padStart(2, '0')}-01`;
  const day = addDays(first, Number(today.slice(8)) - 1);
  return day.slice(0, 7) === first.slice(0, 7) ? day : addDays(`${day.slice(0, 7)}-01`, -1);
}

/** Our choice: longer ago than that is a slip of the year. */
const OLDEST_MONTHS = 30 * 12;

/** Why a day that lies behind a dog cannot be right; undefined when it can. */
function pastError(day: string, today: string): string | undefined {
  if (day > today) return `${day} lies in the future. Give a day up to today.`;
  if (day !== '' && monthsBetween(day, today) > OLDEST_MONTHS)
    return `${day} is longer ago than dogs live. Check the year.`;
  return undefined;
}

function readBorn(
  draft: DogDraft,
  before: Dog | null,
  today: string,
  errors: DraftErrors,
): Dog['born'] {
  if (draft.bornBy === 'unknown') return null;
  if (draft.bornBy === 'date') {
    // A dog that is no longer here grows older all the same.
    const wrong = draft.bornOn === before?.born?.date ? undefined : pastError(draft.bornOn, today);
    if (wrong !== undefined) errors.bornOn = wrong;
    return draft.bornOn === '' ? null : { date: draft.bornOn, estimated: false };
  }
  const years = amount(draft.years) ?? (draft.years.trim() === '' ? 0 : null);
  const months = amount(draft.months) ?? (draft.months.trim() === '' ? 0 : null);
  if (years === null) errors.years = `“${draft.years}” is no number of years. Give 0 to 30.`;
  if (months === null) errors.months = `“${draft.months}” is no number of months. Give 0 to 11.`;
  if (years === null || months === null) return null;
  if (draft.years.trim() === '' && draft.months.trim() === '') return null;
  const total = Math.round(years * 12 + months);
  // The same age as before keeps the date it stands for, so that saving twice changes nothing.
  const kept = before?.born?.estimated === true ? before.born : null;
  if (kept && monthsBetween(kept.date, today) === total) return kept;
  if (total > OLDEST_MONTHS) errors.years = `${years} years is more than dogs live. Give 0 to 30.`;
  return { date: bornFromAge(total, today), estimated: true };
}

function readWeight(
  text: string,
  field: 'weight' | 'adultWeight',
  units: Units,
  errors: DraftErrors,
): number | null {
  const value = amount(text);
  if (value === undefined) return null;
  const limits = field === 'weight' ? WEIGHED_G : GROWN_G;
  const mass_g = dogGrams(value, limits, units);
  if (mass_g === null)
    errors[field] = `“${text}” is no weight of a dog. Give ${limitWords(limits, units)}.`;
  return mass_g;
}

function readReproduction(
  draft: DogDraft,
  today: string,
  errors: DraftErrors,
): Dog['reproduction'] {
  if (!mayHavePups(draft)) return null;
  for (const field of ['matedOn', 'whelpedOn', 'weanedOn'] as const) {
    const day = draft[field];
    const wrong = pastError(day, today);
    if (wrong !== undefined) errors[field] = wrong;
  }
  if (draft.matedOn && draft.whelpedOn && draft.whelpedOn < draft.matedOn)
    errors.whelpedOn = `${draft.whelpedOn} lies before the mating. Correct one of the two days.`;
  const before = draft.whelpedOn || draft.matedOn;
  if (draft.weanedOn && draft.weanedOn < before)
    errors.weanedOn = `${draft.weanedOn} lies before ${before}. Correct one of the two days.`;
  const pups = amount(draft.pups);
  if (pups === null || (pups !== undefined && (!Number.isInteger(pups) || pups > 20)))
    errors.pups = `“${draft.pups}” is no number of pups. Give 0 to 20.`;
  const noted = {
    mated_on: draft.matedOn || null,
    whelped_on: draft.whelpedOn || null,
    pups: pups ?? null,
    weaned_on: draft.weanedOn || null,
  };
  return Object.values(noted).every((part) => part === null) ? null : noted;
}

/** Reads the whole form. `before` is the dog being changed, null for a new one. */
export function readDraft(draft: DogDraft, before: Dog | null, { today, units }: Moment): Read {
  const errors: DraftErrors = {};
  const vetEnergy = amount(draft.vetEnergy);
  if (vetEnergy === null)
    errors.vetEnergy = `“${draft.vetEnergy}” is no number. Give 20 to 15000 kcal a day.`;
  const dog: Dog = {
    name: draft.name.trim(),
    breed: draft.breed.trim() || null,
    born: readBorn(draft, before, today, errors) ?? null,
    sex: draft.sex,
    neutered: draft.neutered === null ? null : draft.neutered === 'yes',
    activity: draft.activity,
    adult_weight_g: readAdultWeight(draft, before, units, errors),
    energy_vet:
      typeof vetEnergy === 'number'
        ? { kcal_per_day: vetEnergy, note: draft.vetEnergyNote.trim() || null }
        : null,
    vet_notes: draft.vetNotes.trim() || null,
    reproduction: readReproduction(draft, today, errors),
  };
  const weight_g = readWeight(draft.weight, 'weight', units, errors);
  const found = validate('dog', dog as unknown as Record<string, unknown>, {
    creating: before === null,
  });
  const fields: Record<string, keyof DogDraft> = {
    name: 'name',
    breed: 'breed',
    born: 'bornOn',
    adult_weight_g: 'adultWeight',
    energy_vet: 'vetEnergy',
    vet_notes: 'vetNotes',
    reproduction: 'matedOn',
  };
  for (const [register, sentences] of Object.entries(found ?? {})) {
    const field = fields[register];
    if (field) errors[field] ??= sentences.join(' ');
  }
  if (dog.name === '') errors.name = 'The name is empty. Write what the dog is called.';
  return Object.keys(errors).length > 0 ? { ok: false, errors } : { ok: true, dog, weight_g };
}

/** Left as it was typed before, the weight keeps its grams: pounds do not round a kilogram away. */
function readAdultWeight(
  draft: DogDraft,
  before: Dog | null,
  units: Units,
  errors: DraftErrors,
): number | null {
  const kept = before?.adult_weight_g ?? null;
  if (kept !== null && draft.adultWeight === bodyTyped(kept, units)) return kept;
  return readWeight(draft.adultWeight, 'adultWeight', units, errors);
}

/** "Standard schnauzer, 12 years, spayed", leaving out what nobody said. */
export function dogWords(dog: Dog, age: string | null): string {
  const neutered = dog.neutered ? (dog.sex === 'female' ? 'spayed' : 'neutered') : null;
  const about = dog.born?.estimated && age ? `about ${age}` : age;
  const sex = neutered ? null : (dog.sex ?? null);
  return [dog.breed, about, sex, neutered]
    .filter((part) => part !== null && part !== undefined && part !== '')
    .join(', ');
}

export interface Pronouns {
  readonly they: string;
  readonly their: string;
  readonly them: string;
}

export function pronounsOf(dog: Pick<Dog, 'sex'>): Pronouns {
  if (dog.sex === 'female') return { they: 'she', their: 'her', them: 'her' };
  if (dog.sex === 'male') return { they: 'he', their: 'his', them: 'him' };
  return { they: 'it', their: 'its', them: 'it' };
}
