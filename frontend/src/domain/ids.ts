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

/** The one pull of a lot or bag for a purpose: a size of pack, and a batch or when it is fed. */
export function pullId(of: string, ...purpose: string[]): string {
  return slotId('pull', of, ...purpose);
}

/** The one record of bags of a batch in a place, by its number from 1: put by on two phones, it is one. */
export function bagId(batch: string, place: string, number: number): string {
  return slotId('bag', batch, place, String(number));
}

/** The one movement of a pack of a pull, by its number from 1: moved on two phones, it is one. */
export function packId(pull: string, pack: number): string {
  return slotId('thawed', pull, String(pack));
}

/** The one duty of a rota on a day: done, taken over or swapped on two phones, it is one. */
export function dutyId(rota: string, day: string): string {
  return slotId('duty', rota, day);
}

const UUID = /^[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}$/;

export function isUuid(value: unknown): value is string {
  return typeof value === 'string' && UUID.test(value);
}
