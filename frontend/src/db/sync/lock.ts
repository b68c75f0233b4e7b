/** One tab syncs at a time, where the browser can arrange it. Nothing breaks where it cannot. */

/** A tab that holds the lock and gives no sign for so long is taken to be frozen. */
const FROZEN_MS = 60_000;

export class SyncLock {
  #refusedSince: number | null = null;

  constructor(private readonly name: string) {}

  /** Another tab has shown that it is working. */
  heardOther(): void {
    this.#refusedSince = null;
  }

  /** Runs `work` unless another tab is at it; says whether it ran. */
  async run(work: () => Promise<void>): Promise<boolean> {
    const locks = (globalThis.navigator as Partial<Navigator> | undefined)?.locks;
    if (!locks) {
      await work();
      return true;
    }
    const ran = await locks.request(this.name, { ifAvailable: true }, async (lock) => {
      if (!lock) return false;
      await work();
      return true;
    });
    if (ran) this.#refusedSince = null;
    return ran || this.#takeOver(work);
  }

  async #takeOver(work: () => Promise<void>): Promise<boolean> {
    this.#refusedSince ??= Date.now();
    if (Date.now() - this.#refusedSince < FROZEN_MS) return false;
    await work();
    return true;
  }
}
