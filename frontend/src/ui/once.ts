/**
 * One deed at a time: asked again while it is under way, it does nothing. A second tap on a button
 * would otherwise write the same twice.
 */
export function once<Given extends unknown[]>(
  deed: (...given: Given) => Promise<void>,
): (...given: Given) => Promise<void> {
  let isUnderWay = false;
  return async (...given) => {
    if (isUnderWay) return;
    isUnderWay = true;
    try {
      await deed(...given);
    } finally {
      isUnderWay = false;
    }
  };
}
