/** Reactive state and an effect root for tests, which cannot hold runes themselves. */

class Counter {
  text = $state('');

  /** Runs `work` as a component would; `dispose` unmounts it. */
  root<T>(work: () => T): { value: T; dispose: () => void } {
    let value!: T;
    const dispose = $effect.root(() => {
      value = work();
    });
    return { value, dispose };
  }
}

export const counter = new Counter();
