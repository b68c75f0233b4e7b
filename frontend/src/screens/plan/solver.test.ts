import { describe, expect, it, vi } from 'vitest';
import type { ProposalProblem } from '../../domain/proposal-problem';
import { Solver } from './solver';
import { work, type Posted } from './solver-work';

const beef = { key: 'beef', energy_kcal_per_100g: 200, least: {}, most: {} };
const problem: ProposalProblem = {
  energy_kcal: 1000,
  ingredients: [beef],
  lots: [{ key: 'b', food: 'beef', mass_g: 2000 }],
};

/** A worker that answers when it is told to. */
class Slow {
  onmessage: ((event: { data: unknown }) => void) | null = null;
  onerror: (() => void) | null = null;
  readonly posted: Posted[] = [];
  readonly terminate = vi.fn();

  postMessage(posted: Posted): void {
    this.posted.push(posted);
  }

  answer(): void {
    for (const { id, ask } of this.posted.splice(0))
      this.onmessage?.({ data: { id, answer: work(ask) } });
  }
}

function started(): { solver: Solver; workers: Slow[] } {
  const workers: Slow[] = [];
  const solver = new Solver(() => {
    const worker = new Slow();
    workers.push(worker);
    return worker as unknown as Worker;
  });
  return { solver, workers };
}

describe('the solver of a screen', () => {
  it('answers from one worker', async () => {
    const { solver, workers } = started();
    const first = solver.propose({ problem });
    workers[0]?.answer();
    expect((await first)?.energy_kcal).toBeCloseTo(1000, 1);
    const second = solver.mend({ problem, batch: { beef: 500 }, offers: [] });
    workers[0]?.answer();
    expect((await second)?.additions).toEqual([]);
    expect(workers).toHaveLength(1);
  });

  it('solves a batch again with what is in the bowl', async () => {
    const { solver, workers } = started();
    const stock = problem.lots;
    const found = solver.resolve({ draft: problem, used: [{ food: 'beef', mass_g: 100 }], stock });
    workers[0]?.answer();
    expect((await found)?.lines.map(({ lot, mass_g }) => [lot, Math.round(mass_g)])).toEqual([
      ['bowl', 100],
      ['b', 400],
    ]);
  });

  it('stops what a newer proposal makes stale', async () => {
    const { solver, workers } = started();
    const first = solver.propose({ problem });
    const second = solver.propose({ problem: { ...problem, energy_kcal: 500 } });
    expect(await first).toBeNull();
    expect(workers[0]?.terminate).toHaveBeenCalled();
    workers[1]?.answer();
    expect((await second)?.energy_kcal).toBeCloseTo(500, 1);
  });

  it('keeps another question when an addition is asked for anew', async () => {
    const { solver, workers } = started();
    const first = solver.propose({ problem });
    workers[0]?.answer();
    const proposal = await first;
    if (!proposal) throw new Error('no proposal');
    const stale = solver.mend({ problem, batch: { beef: 400 }, offers: [] });
    const cost = solver.costOf({ problem, proposal, food: 'beef', mass_g: 100 });
    const newer = solver.mend({ problem, batch: { beef: 500 }, offers: [] });
    expect(await stale).toBeNull();
    workers[1]?.answer();
    expect(await cost).toMatchObject({ food: 'beef', aim: null });
    expect(await newer).not.toBeNull();
  });

  it('works on the page where a worker does not start or fails', async () => {
    const none = new Solver(() => {
      throw new Error('not known here');
    });
    expect((await none.propose({ problem }))?.energy_kcal).toBeCloseTo(1000, 1);
    const { solver, workers } = started();
    const asked = solver.propose({ problem });
    workers[0]?.onerror?.();
    expect((await asked)?.energy_kcal).toBeCloseTo(1000, 1);
  });

  it('says what was wrong with the question', async () => {
    const none = new Solver(() => {
      throw new Error('not known here');
    });
    await expect(none.propose({ problem: { ...problem, energy_kcal: 0 } })).rejects.toThrow('kcal');
  });
});
