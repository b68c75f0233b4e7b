/** The limits of one dog's own: what a person settled, as it is typed and kept. */
import type { Dog } from '../../domain/kinds';
import { COMMON_ORGAN_PCT } from '../../domain/organs';
import { readAmount } from '../../ui/amounts';

export type Caps = NonNullable<Dog['caps']>;
export type CapKey = keyof Caps;

export interface CapField {
  readonly key: CapKey;
  readonly label: string;
  readonly unit: string;
  readonly hint: string;
  readonly least: number;
  readonly most: number;
}

export const CAP_FIELDS: readonly CapField[] = [
  {
    key: 'fat_g_per_1000_kcal',
    label: 'Fat, at most',
    unit: 'g per 1000 kcal',
    hint: 'As your vet named it.',
    least: 10,
    most: 110,
  },
  {
    key: 'bone_pct',
    label: 'Bone, at most',
    unit: '% of the mass',
    hint: 'Of a whole batch: the bone itself, without the meat on it.',
    least: 0,
    most: 100,
  },
  {
    key: 'liver_pct',
    label: 'Liver, at most',
    unit: '% of the mass',
    hint: 'Of a whole batch.',
    least: 0,
    most: 100,
  },
  {
    key: 'organ_pct',
    label: 'Organs in all, at most',
    unit: '% of the mass',
    hint: `Of a whole batch: liver, kidney, spleen, lung, brain and the like. Left empty, a proposal keeps to ${COMMON_ORGAN_PCT} % where it can: common practice, with no published source.`,
    least: 0,
    most: 100,
  },
];

export type Typed = Readonly<Record<CapKey, string>>;

/** What stands in the fields for limits that were kept. */
export function typedOf(caps: Caps | null): Typed {
  const shown = (key: CapKey): string => (caps?.[key] == null ? '' : String(caps[key]));
  return {
    fat_g_per_1000_kcal: shown('fat_g_per_1000_kcal'),
    bone_pct: shown('bone_pct'),
    liver_pct: shown('liver_pct'),
    organ_pct: shown('organ_pct'),
  };
}

/** Why a field cannot be kept; null when it can. Empty means no limit. */
export function capError(field: CapField, typed: string): string | null {
  if (typed.trim() === '') return null;
  const amount = readAmount(typed);
  return amount === null || amount < field.least || amount > field.most
    ? `“${typed}” is no such limit. Give ${field.least} to ${field.most} ${field.unit}, or nothing.`
    : null;
}

/** The limits as they are kept; null when there is none. */
export function capsOf(typed: Typed): Caps | null {
  const kept = CAP_FIELDS.flatMap(({ key }) => {
    const amount = typed[key].trim() === '' ? null : readAmount(typed[key]);
    return amount === null ? [] : [[key, amount] as const];
  });
  return kept.length === 0 ? null : Object.fromEntries(kept);
}

/** "Fat to 40 g, bone to 10 %, no beef liver": the limits in one line. */
export function capWords(
  dog: Pick<Dog, 'caps' | 'may_not_have'>,
  name: (food: string) => string,
): string {
  const { fat_g_per_1000_kcal: fat, bone_pct: bone } = dog.caps ?? {};
  const { liver_pct: liver, organ_pct: organs } = dog.caps ?? {};
  const parts = [
    fat == null ? '' : `fat to ${fat} g per 1000 kcal`,
    bone == null ? '' : `bone to ${bone} %`,
    liver == null ? '' : `liver to ${liver} %`,
    organs == null ? '' : `organs to ${organs} %`,
    ...(dog.may_not_have ?? []).map((food) => `no ${name(food)}`),
  ].filter((part) => part !== '');
  return parts.length === 0 ? 'None: what the yardstick allows' : parts.join(', ');
}
