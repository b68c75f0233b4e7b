/** What is asked of the solver, and its work: the same in a worker and on the page itself. */
import {
  costOf,
  propose,
  resolve,
  type InBowl,
  type Proposal,
  type Rejected,
} from '../../domain/proposal';
import {
  smallestAdditions,
  type Additions,
  type Batch,
  type Offer,
} from '../../domain/proposal-mend';
import type { ProposalLot, ProposalProblem } from '../../domain/proposal-problem';

export interface ProposeAsk {
  readonly what: 'propose';
  readonly problem: ProposalProblem;
}

/** The batch again in the middle of the weigh-in: what is in the bowl, and what is left in store. */
export interface ResolveAsk {
  readonly what: 'resolve';
  readonly draft: ProposalProblem;
  readonly used: readonly InBowl[];
  readonly stock: readonly ProposalLot[];
}

export interface MendAsk {
  readonly what: 'mend';
  readonly problem: ProposalProblem;
  readonly batch: Batch;
  readonly offers: readonly Offer[];
}

export interface CostAsk {
  readonly what: 'cost';
  readonly problem: ProposalProblem;
  readonly proposal: Proposal;
  readonly food: string;
  readonly mass_g: number;
}

export type Ask = ProposeAsk | ResolveAsk | MendAsk | CostAsk;

export interface Answers {
  readonly propose: Proposal;
  readonly resolve: Proposal;
  readonly mend: Additions;
  readonly cost: Rejected;
}

export type Answer = Answers[Ask['what']];

/** A question to the worker, and what it says to it. */
export interface Posted {
  readonly id: number;
  readonly ask: Ask;
}

export type Said =
  | { readonly id: number; readonly answer: Answer }
  | { readonly id: number; readonly problem: string };

export function work(ask: Ask): Answer {
  switch (ask.what) {
    case 'propose':
      return propose(ask.problem);
    case 'resolve':
      return resolve(ask.draft, ask.used, ask.stock);
    case 'mend':
      return smallestAdditions(ask.problem, ask.batch, ask.offers);
    case 'cost':
      return costOf(ask.problem, ask.proposal, { food: ask.food, mass_g: ask.mass_g });
  }
}
