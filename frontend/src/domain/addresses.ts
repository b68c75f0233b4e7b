/** What an address on the web leads to. */

const OWN = /^(localhost|.+\.localhost|127(\.\d+){3}|\[::1\])$/;

/** Whether an address leads each device to itself (RFC 6761, 6.3; RFC 6890): no other opens it. */
export function leadsToOneself(address: string): boolean {
  try {
    return OWN.test(new URL(address).hostname);
  } catch {
    return false; // Not an address at all.
  }
}
