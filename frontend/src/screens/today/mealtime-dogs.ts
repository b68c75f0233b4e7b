/** Which dogs a mealtime names. None are all of them, so that a dog that comes later eats too. */

/**
 * What the ticks change. Nothing where nobody touched them (null): a dog that is away at the moment
 * has no tick, and a new time must neither have it fed nor leave it out.
 */
export function namedBy(
  ticked: readonly string[] | null,
  here: readonly string[],
): { dogs?: string[] } {
  if (ticked === null) return {};
  return { dogs: here.every((dog) => ticked.includes(dog)) ? [] : [...ticked] };
}

/** Whether the ticks leave the mealtime to none of the dogs that are here. */
export function isForNobody(ticked: readonly string[] | null, here: readonly string[]): boolean {
  return ticked === null ? here.length === 0 : !here.some((dog) => ticked.includes(dog));
}
