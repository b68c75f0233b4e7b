/** What kind of phone this is, as far as advice depends on it. */

/** iPhone and iPad, the latter also when it calls itself a Mac. */
export function isApple(
  agent: string = navigator.userAgent,
  touchPoints: number = navigator.maxTouchPoints,
): boolean {
  return /iPhone|iPad|iPod/.test(agent) || (/Macintosh/.test(agent) && touchPoints > 1);
}

/** Whether the app runs from the home screen. */
export function isInstalled(): boolean {
  const legacy = 'standalone' in navigator && navigator.standalone === true;
  return legacy || matchMedia('(display-mode: standalone)').matches;
}
