/** How a batch was found once it was mixed, in words. */
import type { Batch } from '../../domain/kinds';

/** "Even, no hard bit felt". */
export function mixWords({ even, bone }: NonNullable<Batch['mix']>): string {
  const looks = even ? 'Even' : 'Streaky';
  if (bone == null) return looks;
  return `${looks}, ${bone === 'none' ? 'no hard bit felt' : 'bits of bone felt'}`;
}
