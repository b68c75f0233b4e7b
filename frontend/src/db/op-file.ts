/** Own entries as a file: JSON Lines, in the order they were made. */

import type { Op } from '../domain/protocol.ts';

export function opFile(ops: readonly Op[]): Blob {
  const lines = [...ops].sort((a, b) => a.n - b.n).map((op) => `${JSON.stringify(op)}\n`);
  return new Blob(lines, { type: 'application/x-ndjson' });
}
