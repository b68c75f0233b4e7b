/** Keeps the screen awake while the counter is open, where the phone can do that. */

/** Starts keeping the screen awake and returns what ends it. */
export function keepAwake(): () => void {
  let lock: WakeLockSentinel | null = null;
  let isOver = false;

  async function take(): Promise<void> {
    if (isOver || !('wakeLock' in navigator) || document.visibilityState !== 'visible') return;
    try {
      lock = await navigator.wakeLock.request('screen');
    } catch {
      // Refused, for instance on a low battery: the screen may go dark, nothing is lost.
      lock = null;
    }
  }

  // The phone drops the lock whenever the page is hidden, so it is taken again on return.
  function retake(): void {
    void take();
  }

  document.addEventListener('visibilitychange', retake);
  void take();
  return () => {
    isOver = true;
    document.removeEventListener('visibilitychange', retake);
    void lock?.release();
  };
}
