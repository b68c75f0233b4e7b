/**
 * The solver as the screen asks it: in a worker, or on the page where no worker starts.
 *
 * A proposal, or a batch solved again, makes every earlier question stale; an addition an earlier
 * one of its kind. What is stale is not waited for: the worker that is at it is stopped and another one
 * begun, and the answer is null.
 */
import type {
  Answers,
  Ask,
  CostAsk,
  MendAsk,
  Posted,
  ProposeAsk,
  ResolveAsk,
  Said,
} from './solver-work';

interface Waiting {
  readonly ask: Ask;
  readonly resolve: (answer: Answers[Ask['what']] | null) => void;
  readonly reject: (error: Error) => void;
}

function newWorker(): Worker {
  return new Worker(new URL('./solver-worker.ts', import.meta.url), { type: 'module' });
}

export class Solver {
  private worker: Worker | null = null;
  private canWork = true;
  private lastId = 0;
  private readonly waiting = new Map<number, Waiting>();

  constructor(private readonly start: () => Worker = newWorker) {}

  propose(ask: Omit<ProposeAsk, 'what'>): Promise<Answers['propose'] | null> {
    this.drop(() => true);
    return this.ask({ what: 'propose', ...ask }) as Promise<Answers['propose'] | null>;
  }

  resolve(ask: Omit<ResolveAsk, 'what'>): Promise<Answers['resolve'] | null> {
    this.drop(() => true);
    return this.ask({ what: 'resolve', ...ask }) as Promise<Answers['resolve'] | null>;
  }

  mend(ask: Omit<MendAsk, 'what'>): Promise<Answers['mend'] | null> {
    this.drop(({ what }) => what === 'mend');
    return this.ask({ what: 'mend', ...ask }) as Promise<Answers['mend'] | null>;
  }

  costOf(ask: Omit<CostAsk, 'what'>): Promise<Answers['cost'] | null> {
    return this.ask({ what: 'cost', ...ask }) as Promise<Answers['cost'] | null>;
  }

  /** Nobody waits for an answer any more. */
  stop(): void {
    this.drop(() => true);
    this.worker?.terminate();
    this.worker = null;
  }

  private drop(isStale: (ask: Ask) => boolean): void {
    const stale = [...this.waiting].filter(([, { ask }]) => isStale(ask));
    if (stale.length === 0) return;
    for (const [id, { resolve }] of stale) {
      this.waiting.delete(id);
      resolve(null);
    }
    this.worker?.terminate();
    this.worker = null;
    for (const [id, { ask }] of this.waiting) this.post({ id, ask });
  }

  private ask(ask: Ask): Promise<Answers[Ask['what']] | null> {
    const id = ++this.lastId;
    return new Promise((resolve, reject) => {
      this.waiting.set(id, { ask, resolve, reject });
      this.post({ id, ask });
    });
  }

  private post(posted: Posted): void {
    try {
      if (!this.canWork) throw new Error('no worker');
      this.worker ??= this.begun();
      this.worker.postMessage(posted);
    } catch {
      void this.here(posted);
    }
  }

  private begun(): Worker {
    const worker = this.start();
    worker.onmessage = ({ data }: MessageEvent<Said>) => {
      const found = this.taken(data.id);
      if ('answer' in data) found?.resolve(data.answer);
      else found?.reject(new Error(data.problem));
    };
    // Its file did not load, or the browser knows no module workers: the page does the work itself.
    worker.onerror = () => {
      if (worker !== this.worker) return;
      worker.terminate();
      [this.worker, this.canWork] = [null, false];
      for (const [id, { ask }] of this.waiting) void this.here({ id, ask });
    };
    return worker;
  }

  private taken(id: number): Waiting | undefined {
    const found = this.waiting.get(id);
    this.waiting.delete(id);
    return found;
  }

  private async here({ id, ask }: Posted): Promise<void> {
    try {
      const { work } = await import('./solver-work');
      if (!this.waiting.has(id)) return;
      const answer = work(ask);
      this.taken(id)?.resolve(answer);
    } catch (error) {
      this.taken(id)?.reject(error instanceof Error ? error : new Error(String(error)));
    }
  }
}
