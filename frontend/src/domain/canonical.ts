/** One spelling per JSON value (RFC 8785), so that phone and server agree on the hash of an op. */

import { sha256 } from '@noble/hashes/sha2.js';
import { bytesToHex, utf8ToBytes } from '@noble/hashes/utils.js';

/** Keys sorted by UTF-16 unit; strings and numbers as JSON.stringify writes them. */
export function canonical(value: unknown): string {
  if (Array.isArray(value)) {
    return `[${value.map((item) => canonical(item ?? null)).join(',')}]`;
  }
  if (typeof value === 'object' && value !== null) {
    const members = Object.entries(value)
      .filter(([, member]) => member !== undefined)
      .sort(([a], [b]) => (a < b ? -1 : 1))
      .map(([key, member]) => `${JSON.stringify(key)}:${canonical(member)}`);
    return `{${members.join(',')}}`;
  }
  return JSON.stringify(value);
}

export function sameValue(a: unknown, b: unknown): boolean {
  return a === b || canonical(a ?? null) === canonical(b ?? null);
}

/** SHA-256 as 64 hex digits. Not crypto.subtle: browsers hide it on plain http. */
export function sha256Hex(text: string): string {
  return bytesToHex(sha256(utf8ToBytes(text)));
}

/** The hash the server keeps of an op's body as sent. */
export function bodyHash(body: unknown): string {
  return sha256Hex(canonical(body));
}
