/** The time of day as the screens see it: it moves while they stand open on the counter. */

class Clock {
  now = $state(Date.now());

  constructor() {
    setInterval(() => (this.now = Date.now()), 30_000);
    document.addEventListener('visibilitychange', () => (this.now = Date.now()));
  }
}

export const clock = new Clock();
