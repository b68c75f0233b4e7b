/** The code on a label: an address of this app, so that any camera opens what it belongs to. */

const PACK = /^\/stores\/([0-9a-f]{8}(?:-[0-9a-f]{4}){3}-[0-9a-f]{12})$/;

/** What the code of a bag or a lot says. */
export function codeOf(rid: string, origin: string): string {
  return `${origin}/stores/${rid}`;
}

/**
 * The bag or lot that a scanned code names; null when it is none of ours. The server may have had
 * another address when the label was printed, so only the path counts.
 */
export function packIn(scanned: string): string | null {
  try {
    return PACK.exec(new URL(scanned).pathname)?.[1] ?? null;
  } catch {
    return null; // Not an address at all.
  }
}

/** A code as the path of an svg, a unit to a module, with the border that the standard asks for. */
export async function drawn(
  text: string,
): Promise<{ readonly size: number; readonly path: string }> {
  const { default: encodeQR } = await import('qr');
  // ISO/IEC 18004: four light modules all around.
  const rows = encodeQR(text, 'raw', { ecc: 'medium', border: 4 });
  const path = rows.flatMap((row, y) =>
    row.map((isDark, x) => (isDark ? `M${x} ${y}h1v1h-1z` : '')),
  );
  return { size: rows.length, path: path.join('') };
}
