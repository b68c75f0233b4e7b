/** Record and op ids, made on the phone. Nothing may order by them. */

import { sha256 } from '@noble/hashes/sha2.js';
import { bytesToHex, utf8ToBytes } from '@noble/hashes/utils.js';

function format(bytes: Uint8Array, version: 7 | 8): string {
  const fixed = Uint8Array.from(bytes.subarray(0, 16));
  fixed[6] = ((fixed[6] ?? 0) & 0x0f) | (version << 4);
  fixed[8] = ((fixed[8] ?? 0) & 0x3f) | 0x80;
  const hex = bytesToHex(fixed);
  return [
    hex.slice(0, 8),
    hex.slice(8, 12),
    hex.slice(12, 16),
    hex.slice(16, 20),
    hex.slice(20),
  ].join('-');
}

/**
 * A UUID of version 7: 48 bits of time, the rest random.
 *
 * Not crypto.randomUUID: browsers hide it on plain http, getRandomValues they do not.
 */
export function uuid7(now: number = Date.now()): string {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  let rest = now;
  for (let i = 5; i >= 0; i -= 1) {
    bytes[i] = rest % 256;
    rest = Math.floor(rest / 256);
  }
  return format(bytes, 7);
}

/** A UUID of version 8 that two phones compute alike from the same words. */
export function slotId(...parts: string[]): string {
  return format(sha256(utf8ToBytes(parts.join('|'))), 8);
}

/** The one record of a mealtime on a day, wherever it is fed. */
export function mealId(household: string, mealtime: string, day: string): string {
  return slotId('meal', household, mealtime, day);
}

export function servingId(meal: string, dog: string): string {
  return slotId('serving', meal, dog);
}

/** The one record of what a household has chosen. */
export function preferenceId(household: string): string {
  return slotId('preference', household);
}

const UUID = /^[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}$/;

export function isUuid(value: unknown): value is string {
  return typeof value === 'string' && UUID.test(value);
}
