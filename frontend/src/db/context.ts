/** Whose records these are: the open database and the member who writes into it. */

import type { HouseholdDatabase } from './schema.ts';

export interface Context {
  db: HouseholdDatabase;
  household: string;
  /** The member's id: every op carries it as its author. */
  member: string;
  role: string;
}

/** Nothing can be read or written before somebody has signed in on this phone. */
export class NotOpen extends Error {
  override name = 'NotOpen';
  constructor() {
    super('No household is open on this phone. Sign in first.');
  }
}

let open: Context | null = null;
let offset = 0;
const wrote = new Set<() => void>();

export function current(): Context {
  if (!open) throw new NotOpen();
  return open;
}

export function currentOrNull(): Context | null {
  return open;
}

export function setCurrent(context: Context | null): void {
  open = context;
}

/** Server time less this phone's clock, in milliseconds, as last measured. */
export function clockOffset(): number {
  return offset;
}

export function setClockOffset(milliseconds: number): void {
  offset = milliseconds;
}

/** Calls back after every write that has reached the disk. */
export function onWrite(listener: () => void): () => void {
  wrote.add(listener);
  return () => wrote.delete(listener);
}

export function announceWrite(): void {
  for (const listener of wrote) listener();
}
