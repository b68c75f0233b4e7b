/** Time zones as people type them. */

/** The zone as the database spells it: no space after it, none in it, capitals where they belong. */
export function zoneOf(typed: string): string {
  const text = typed.trim().replace(/\s+/g, '_');
  // Older browsers cannot say which zones they know.
  const known = 'supportedValuesOf' in Intl ? Intl.supportedValuesOf('timeZone') : [];
  return known.find((zone) => zone.toLowerCase() === text.toLowerCase()) ?? text;
}
