/** The newest answer to a question that changes with what it depends on. */
import { problems } from '../../db/store.svelte';

export class Latest<A> {
  /** The answer; null while there is none. */
  value = $state.raw<A | null>(null);
  trouble = $state<string | null>(null);
  private asked: Promise<void> = Promise.resolve();

  /**
   * To be made while a component is; `ask` gives null when there is nothing to ask. With `isKept`
   * the last answer stays until there is a newer one.
   */
  constructor(ask: () => Promise<A | null> | null, { isKept = false } = {}) {
    $effect(() => {
      const question = ask();
      if (question === null || !isKept) this.value = null;
      if (question === null) return undefined;
      let isCurrent = true;
      this.asked = question.then(
        (answer) => {
          if (isCurrent && answer !== null) [this.value, this.trouble] = [answer, null];
        },
        (error: unknown) => {
          if (isCurrent) this.trouble = problems(error);
        },
      );
      return () => {
        isCurrent = false;
      };
    });
  }

  /** Waits for what is asked now. */
  async settled(): Promise<void> {
    let asked;
    do {
      asked = this.asked;
      await asked;
    } while (asked !== this.asked);
  }
}
