/** The aims of a proposal, one after the other, and the choice of whole packs by branching. */
import { AIMS, PER, SLACK, type Aim, type Pack, type ProposalModel } from './proposal-matrices.ts';
import { Simplex } from './proposal-simplex.ts';

/** How long to look for better packs: by tableaus, and by the clock where one is given. */
export interface Effort {
  readonly nodes: number;
  /** Milliseconds for all aims together; none: no clock is read. */
  readonly ms?: number;
  readonly clock?: () => number;
}

export interface Staged {
  /** Units of 100 g used of each lot. */
  readonly used: readonly number[];
  readonly least: Readonly<Record<Aim, number>>;
  /** False when the effort ran out before the best packs were certain. */
  readonly is_proved: boolean;
}

const WHOLE = 1e-6;
/** A better choice of packs has to be better by this much. */
const GAIN = 1e-7;

interface Found {
  readonly simplex: Simplex;
  readonly value: number;
}

/** Solves a model aim by aim. */
export function solveStaged(model: ProposalModel, effort: Effort): Staged {
  let simplex = new Simplex();
  simplex.grow(model.plain);
  startEmpty(simplex, model);
  const least: Partial<Record<Aim, number>> = {};
  const search = new Search(model, effort);
  for (const aim of AIMS) {
    if (aim === 'left') pullEverything(simplex, model);
    const row = model.aims[aim];
    if (AIMS.indexOf(aim) >= AIMS.indexOf('left')) {
      simplex = search.best(simplex, aim);
    } else if (simplex.minimise(row) !== 'optimal') {
      search.isProved = false;
    }
    least[aim] = simplex.row(row);
    simplex.boundRow(row, -Infinity, least[aim] + SLACK[aim]);
  }
  return {
    used: model.lots.map((_, index) => simplex.column(index)),
    least: least as Record<Aim, number>,
    is_proved: search.isProved,
  };
}

/** An empty batch, all of its energy missing: that keeps every limit but what people settled. */
function startEmpty(simplex: Simplex, model: ProposalModel): void {
  simplex.boundColumn(model.energy_short_column, PER, Infinity);
  simplex.boundColumn(model.energy_short_column, 0, Infinity);
}

/** Adds the packs, all of them pulled at first and all the rest left over: that keeps every bound. */
function pullEverything(simplex: Simplex, model: ProposalModel): void {
  simplex.grow(model.packed, 'high');
  const all = model.packs.reduce((sum, { size, most }) => sum + size * most, 0);
  simplex.boundColumn(model.left_column, all, Infinity);
  simplex.boundColumn(model.left_column, 0, Infinity);
}

class Search {
  isProved = true;
  private found: Found | null = null;
  private nodes = 0;
  private readonly start: number;

  constructor(
    private readonly model: ProposalModel,
    private readonly effort: Effort,
  ) {
    this.start = effort.clock?.() ?? 0;
  }

  /** The best tableau by an aim in which all packs are whole, with the packs left free again. */
  best(from: Simplex, aim: Aim): Simplex {
    this.nodes = 0;
    // From here every bound is kept, so this is the primal's work; what branches off is the dual's.
    // The packs that are begun as it stands, pulled whole, keep every bound too: a first answer.
    this.found = this.settled(from.clone(), aim);
    const root = from.clone();
    root.minimise(this.model.aims[aim]);
    this.explore(root, aim);
    const { found } = this;
    if (found === null) {
      this.isProved = false;
      return from;
    }
    for (const { column, most } of this.model.packs) found.simplex.boundColumn(column, 0, most);
    return found.simplex;
  }

  private isSpent(): boolean {
    const { nodes, ms, clock } = this.effort;
    const isLate = ms !== undefined && clock !== undefined && clock() - this.start > ms;
    return this.nodes > nodes || isLate;
  }

  /** Depth first: the packs rounded up first, since fewer of them seldom suffice. */
  private explore(simplex: Simplex, aim: Aim): void {
    if (this.isSpent()) {
      this.isProved = false;
      return;
    }
    this.nodes++;
    const outcome = simplex.minimise(this.model.aims[aim]);
    if (outcome === 'stopped') this.isProved = false;
    if (outcome !== 'optimal') return;
    const bound = simplex.row(this.model.aims[aim]);
    if (this.found !== null && bound > this.found.value - GAIN) return;
    const whole = this.settled(simplex.clone(), aim);
    if (whole !== null && (this.found === null || whole.value < this.found.value - GAIN))
      this.found = whole;
    if (this.found !== null && bound > this.found.value - GAIN) return;
    const pack = this.worst(simplex);
    if (pack === null) return;
    const count = simplex.column(pack.column);
    const [low, high] = simplex.boundsOfColumn(pack.column);
    const up = simplex.clone();
    up.boundColumn(pack.column, Math.ceil(count - WHOLE), high);
    this.explore(up, aim);
    simplex.boundColumn(pack.column, low, Math.floor(count + WHOLE));
    this.explore(simplex, aim);
  }

  /** The tableau with every pack that is begun pulled whole, brought to its least; null if it breaks a bound. */
  private settled(simplex: Simplex, aim: Aim): Found | null {
    for (const { lot, column, size, most } of this.model.packs) {
      const count = Math.min(most, Math.ceil(simplex.column(lot) / size - WHOLE));
      simplex.boundColumn(column, count, count);
    }
    if (simplex.minimise(this.model.aims[aim]) !== 'optimal') return null;
    return { simplex, value: simplex.row(this.model.aims[aim]) };
  }

  /** The lot whose pack count is furthest from whole, by what would be left of the pack. */
  private worst(simplex: Simplex): Pack | null {
    let worst: Pack | null = null;
    let most = 0;
    for (const pack of this.model.packs) {
      const count = simplex.column(pack.column);
      const off = Math.abs(count - Math.round(count));
      if (off > WHOLE && off * pack.size > most) [worst, most] = [pack, off * pack.size];
    }
    return worst;
  }
}
