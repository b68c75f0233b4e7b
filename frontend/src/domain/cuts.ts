/** Cuts with bone: boneless part and fresh bone, mixed by a share. The twin of the server's. */

import { bounds, type Amounts } from './sums.ts';
import type { BoneRow, FoodRow, Tables } from './tables.ts';

export interface Mix {
  readonly boneless: FoodRow;
  readonly bone: BoneRow;
  /** Share of the mass that is bone, 0 to 1. */
  readonly share: number;
}

type CutTables = Pick<Tables, 'nutrients' | 'group_upper'>;

/** The cut with another share of bone: (1 - b) of its boneless part and b of bone. */
export function cutWithBone(tables: CutTables, cut: FoodRow, mix: Mix): FoodRow {
  const v: Record<string, number> = {};
  const low: Record<string, number> = {};
  const high: Record<string, number> = {};
  const gap: Record<string, number> = {};
  for (const { key } of tables.nutrients) {
    const value = mixed(mix, mix.boneless.v[key], mix.bone.v[key]);
    if (value !== null) v[key] = value;
    const least = leastOf(mix, key);
    const most = mostOf(tables, mix, key);
    if (least !== null && least !== value) low[key] = least;
    if (most !== null && most !== value) high[key] = most;
    const share = value === null ? gapOf(mix, key) : 1;
    if (share < 1) gap[key] = share;
  }
  const { low: _low, high: _high, gap: _gap, ...rest } = cut;
  return {
    ...rest,
    energy_kcal_per_100g: blend(
      mix,
      mix.boneless.energy_kcal_per_100g,
      mix.bone.energy_kcal_per_100g,
    ),
    energy_method: 'atwater',
    source: mix.boneless.source,
    locator: mix.boneless.locator,
    bone_share: cut.bone_share === null ? null : mix.share,
    bone_source: 'your own figure',
    v,
    ...bounds({ low, high }),
    ...(Object.keys(gap).length > 0 ? { gap } : {}),
  };
}

function blend({ share }: Mix, meat: number, bone: number): number {
  return (1 - share) * meat + share * bone;
}

function mixed(mix: Mix, meat: number | undefined, bone: number | undefined): number | null {
  return meat === undefined || bone === undefined ? null : blend(mix, meat, bone);
}

function leastOf(mix: Mix, key: string): number | null {
  const meat = mix.boneless.low?.[key] ?? mix.boneless.v[key];
  const bone = mix.bone.low?.[key] ?? mix.bone.v[key];
  return meat === undefined && bone === undefined ? null : blend(mix, meat ?? 0, bone ?? 0);
}

function mostOf(tables: CutTables, mix: Mix, key: string): number | null {
  const upper: Amounts = tables.group_upper[mix.boneless.group] ?? {};
  const meat = mix.boneless.high?.[key] ?? mix.boneless.v[key] ?? upper[key];
  const bone = mix.bone.high?.[key] ?? mix.bone.v[key] ?? mix.bone.upper?.[key];
  return mixed(mix, meat, bone);
}

function gapOf(mix: Mix, key: string): number {
  const [meat, bone] = [mix.boneless.v[key], mix.bone.v[key]];
  const meat_kcal = (1 - mix.share) * mix.boneless.energy_kcal_per_100g;
  const bone_kcal = mix.share * mix.bone.energy_kcal_per_100g;
  const whole_kcal = meat_kcal + bone_kcal;
  if (whole_kcal === 0 || (meat === undefined && bone === undefined)) return 1;
  return (bone === undefined ? bone_kcal : meat_kcal) / whole_kcal;
}
