/**
 * A bounded simplex on a dense tableau: small enough to run on a phone between two taps.
 *
 * Every row is a variable of its own (its activity) with bounds, so that a row that only measures
 * something is a row without bounds, and an aim is the activity that is made least. The tableau
 * gives each basic variable as a sum over the nonbasic ones.
 */

/** Rows as (column, coefficient) pairs with bounds, and the bounds of the columns. */
export interface Matrix {
  readonly rows: readonly (readonly (readonly [column: number, value: number])[])[];
  readonly rows_low: readonly number[];
  readonly rows_high: readonly number[];
  readonly low: readonly number[];
  readonly high: readonly number[];
}

const FEASIBLE = 1e-9;
const OPTIMAL = 1e-9;
const PIVOT = 1e-7;
/** After so many steps that gain nothing, the first variable that helps is taken: no cycle. */
const STALLED = 60;
const MOST_STEPS = 5_000;
const TIE = 1e-12;

export type Outcome = 'optimal' | 'infeasible' | 'stopped';

const LISTS = ['basic', 'nonbasic', 'low', 'high', 'value', 'place', 'columns', 'rows'] as const;

export class Simplex {
  private rowCount = 0;
  private columnCount = 0;
  private table = new Float64Array(0);
  /** Room for the columns in which a row has an entry. */
  private filled = new Int32Array(0);
  /** Variables: columns of the matrix first, as they come, then activities of rows. */
  private basic: number[] = [];
  private nonbasic: number[] = [];
  private low: number[] = [];
  private high: number[] = [];
  private value: number[] = [];
  /** Where a variable stands: its row, or minus one minus its column. */
  private place: number[] = [];
  private columns: number[] = [];
  private rows: number[] = [];

  /** Adds columns and rows; rows may use every column there is by then. */
  grow(matrix: Matrix, rest: 'low' | 'high' = 'low'): void {
    const oldColumns = this.columnCount;
    for (let index = this.columns.length; index < matrix.low.length; index++) {
      const variable = this.variable(matrix.low[index] ?? 0, matrix.high[index] ?? Infinity);
      this.columns.push(variable);
      const bound = rest === 'low' ? this.low[variable] : this.high[variable];
      this.value[variable] = Number.isFinite(bound ?? 0) ? (bound ?? 0) : (this.low[variable] ?? 0);
      this.place[variable] = -1 - this.nonbasic.push(variable) + 1;
    }
    const firstRow = this.rows.length;
    const grown = new Float64Array(matrix.rows.length * this.nonbasic.length);
    this.columnCount = this.nonbasic.length;
    for (let row = 0; row < this.rowCount; row++) {
      const from = row * oldColumns;
      grown.set(this.table.subarray(from, from + oldColumns), row * this.columnCount);
    }
    this.table = grown;
    this.filled = new Int32Array(this.columnCount);
    for (let index = firstRow; index < matrix.rows.length; index++) {
      this.addRow(matrix.rows[index] ?? [], matrix.rows_low[index], matrix.rows_high[index]);
    }
  }

  private variable(low: number, high: number): number {
    this.low.push(low);
    this.high.push(high);
    this.place.push(0);
    return this.value.push(0) - 1;
  }

  private addRow(
    entries: readonly (readonly [number, number])[],
    low = -Infinity,
    high = Infinity,
  ): void {
    const activity = this.variable(low, high);
    const start = this.rowCount * this.columnCount;
    for (const [column, coefficient] of entries) {
      const variable = this.columns[column] ?? 0;
      const place = this.place[variable] ?? 0;
      if (place < 0) {
        this.table[start - 1 - place] = (this.table[start - 1 - place] ?? 0) + coefficient;
        continue;
      }
      const from = place * this.columnCount;
      for (let j = 0; j < this.columnCount; j++) {
        this.table[start + j] =
          (this.table[start + j] ?? 0) + coefficient * (this.table[from + j] ?? 0);
      }
    }
    this.rows.push(activity);
    this.basic.push(activity);
    this.place[activity] = this.rowCount++;
    this.value[activity] = this.activityOf(this.rowCount - 1);
  }

  private activityOf(row: number): number {
    let sum = 0;
    for (let j = 0; j < this.columnCount; j++) {
      sum += (this.table[row * this.columnCount + j] ?? 0) * this.valueAt(j);
    }
    return sum;
  }

  private valueAt(column: number): number {
    return this.value[this.nonbasic[column] ?? 0] ?? 0;
  }

  /** A copy that can go its own way. */
  clone(): Simplex {
    const copy = new Simplex();
    copy.rowCount = this.rowCount;
    copy.columnCount = this.columnCount;
    copy.table = this.table.slice();
    copy.filled = new Int32Array(this.columnCount);
    for (const name of LISTS) copy[name] = this[name].slice();
    return copy;
  }

  /** The value of a column. */
  column(index: number): number {
    return this.value[this.columns[index] ?? 0] ?? 0;
  }

  /** The activity of a row. */
  row(index: number): number {
    return this.value[this.rows[index] ?? 0] ?? 0;
  }

  boundsOfColumn(index: number): readonly [number, number] {
    const variable = this.columns[index] ?? 0;
    return [this.low[variable] ?? 0, this.high[variable] ?? 0];
  }

  boundColumn(index: number, low: number, high: number): void {
    this.bound(this.columns[index] ?? 0, low, high);
  }

  boundRow(index: number, low: number, high: number): void {
    this.bound(this.rows[index] ?? 0, low, high);
  }

  private bound(variable: number, low: number, high: number): void {
    this.low[variable] = low;
    this.high[variable] = high;
    const place = this.place[variable] ?? 0;
    if (place >= 0) return;
    const now = this.value[variable] ?? 0;
    const wanted = now < low ? low : now > high ? high : now;
    if (wanted !== now) this.move(-1 - place, wanted - now);
  }

  /** Moves a nonbasic variable, and with it every basic one. */
  private move(column: number, by: number): void {
    const variable = this.nonbasic[column] ?? 0;
    this.value[variable] = (this.value[variable] ?? 0) + by;
    for (let row = 0; row < this.rowCount; row++) {
      const entry = this.table[row * this.columnCount + column] ?? 0;
      if (entry === 0) continue;
      const moved = this.basic[row] ?? 0;
      this.value[moved] = (this.value[moved] ?? 0) + entry * by;
    }
  }

  /** Makes the activity of a row without bounds least, from wherever the tableau stands. */
  minimise(row: number): Outcome {
    for (let round = 0; round < 8; round++) {
      const repaired = this.repair(row);
      if (repaired !== 'optimal') return repaired;
      const lowered = this.descend(row);
      this.settle();
      if (lowered !== 'optimal' || this.worstRow() < 0) return lowered;
    }
    return 'stopped';
  }

  /** An aim has no bounds until it has been reached, so it never leaves the basis before. */
  private aimRow(row: number): number {
    return this.place[this.rows[row] ?? 0] ?? 0;
  }

  /** The basic variable that is furthest outside its bounds, as its row; -1 when none is. */
  private worstRow(): number {
    let worst = -1;
    let most = FEASIBLE;
    for (let row = 0; row < this.rowCount; row++) {
      const outside = this.outside(row);
      if (Math.abs(outside) > most) [worst, most] = [row, Math.abs(outside)];
    }
    return worst;
  }

  /** By how much a basic variable is over its bounds; negative when under. */
  private outside(row: number): number {
    const variable = this.basic[row] ?? 0;
    const value = this.value[variable] ?? 0;
    const [low, high] = [this.low[variable] ?? 0, this.high[variable] ?? 0];
    const scale = 1 + Math.abs(value) * 1e-3;
    if (value > high + FEASIBLE * scale) return value - high;
    return value < low - FEASIBLE * scale ? value - low : 0;
  }

  /**
   * The dual simplex: brings every basic variable within its bounds and keeps the aim least. When
   * that takes long it may be going in a circle; by the lowest variable (Bland) it cannot.
   */
  private repair(row: number): Outcome {
    for (let step = 0; step < MOST_STEPS; step++) {
      const isCareful = step > STALLED + this.rowCount;
      const leaving = isCareful ? this.firstOutside() : this.worstRow();
      if (leaving < 0) return 'optimal';
      const entering = this.dualEntering(leaving, this.aimRow(row), isCareful);
      if (entering < 0) return 'infeasible';
      this.leave(leaving, entering);
    }
    return 'stopped';
  }

  private firstOutside(): number {
    let first = -1;
    let lowest = Infinity;
    for (let row = 0; row < this.rowCount; row++) {
      const variable = this.basic[row] ?? 0;
      if (variable < lowest && this.outside(row) !== 0) [first, lowest] = [row, variable];
    }
    return first;
  }

  private dualEntering(leaving: number, aim: number, isCareful: boolean): number {
    const isOver = this.outside(leaving) > 0;
    const [from, costs] = [leaving * this.columnCount, aim * this.columnCount];
    let best = -1;
    let least = Infinity;
    let rank = 0;
    for (let j = 0; j < this.columnCount; j++) {
      const entry = this.table[from + j] ?? 0;
      if (Math.abs(entry) < PIVOT) continue;
      if (!this.canMove(j, entry > 0 === isOver ? -1 : 1)) continue;
      const ratio = Math.abs(this.table[costs + j] ?? 0) / Math.abs(entry);
      const ranked = isCareful ? -(this.nonbasic[j] ?? 0) : Math.abs(entry);
      if (ratio < least - TIE || (ratio <= least + TIE && ranked > rank)) {
        [best, least, rank] = [j, Math.min(ratio, least), ranked];
      }
    }
    return best;
  }

  private canMove(column: number, direction: number): boolean {
    const variable = this.nonbasic[column] ?? 0;
    const value = this.value[variable] ?? 0;
    return direction > 0 ? value < (this.high[variable] ?? 0) : value > (this.low[variable] ?? 0);
  }

  /** A basic variable goes to the bound it had broken, another one takes its place. */
  private leave(row: number, column: number): void {
    const by = -this.outside(row) / (this.table[row * this.columnCount + column] ?? 1);
    const variable = this.basic[row] ?? 0;
    const isOver = this.outside(row) > 0;
    this.move(column, by);
    this.value[variable] = (isOver ? this.high[variable] : this.low[variable]) ?? 0;
    this.pivot(row, column);
  }

  /** The primal simplex: from a feasible tableau to the least of the aim. */
  private descend(row: number): Outcome {
    let stalled = 0;
    for (let step = 0; step < MOST_STEPS; step++) {
      const isCareful = stalled > STALLED;
      const entering = this.entering(this.aimRow(row), isCareful);
      if (entering < 0) return 'optimal';
      const before = this.row(row);
      if (!this.advance(entering, this.aimRow(row), isCareful)) return 'stopped';
      stalled = before - this.row(row) > 1e-12 ? 0 : stalled + 1;
    }
    return 'stopped';
  }

  private entering(aim: number, isFirst: boolean): number {
    const costs = aim * this.columnCount;
    let best = -1;
    let most = OPTIMAL;
    let lowest = Infinity;
    for (let j = 0; j < this.columnCount; j++) {
      const cost = this.table[costs + j] ?? 0;
      if (Math.abs(cost) <= OPTIMAL || !this.canMove(j, cost < 0 ? 1 : -1)) continue;
      if (isFirst) {
        const variable = this.nonbasic[j] ?? 0;
        if (variable < lowest) [best, lowest] = [j, variable];
      } else if (Math.abs(cost) > most) {
        [best, most] = [j, Math.abs(cost)];
      }
    }
    return best;
  }

  /** Moves an entering variable until something reaches a bound; false when nothing ever does. */
  private advance(column: number, aim: number, isCareful: boolean): boolean {
    const variable = this.nonbasic[column] ?? 0;
    const cost = this.table[aim * this.columnCount + column] ?? 0;
    const direction = cost < 0 ? 1 : -1;
    const value = this.value[variable] ?? 0;
    const span =
      direction > 0 ? (this.high[variable] ?? 0) - value : value - (this.low[variable] ?? 0);
    const [row, length] = this.firstStop(column, direction, span, isCareful);
    if (!Number.isFinite(length)) return false;
    this.move(column, direction * length);
    if (row < 0) {
      this.value[variable] = (direction > 0 ? this.high[variable] : this.low[variable]) ?? 0;
      return true;
    }
    const leaving = this.basic[row] ?? 0;
    const rises = (this.table[row * this.columnCount + column] ?? 0) * direction > 0;
    this.value[leaving] = (rises ? this.high[leaving] : this.low[leaving]) ?? 0;
    this.pivot(row, column);
    return true;
  }

  private firstStop(
    column: number,
    direction: number,
    span: number,
    isCareful: boolean,
  ): [number, number] {
    let best = -1;
    let least = span;
    let rank = 0;
    for (let row = 0; row < this.rowCount; row++) {
      const rate = (this.table[row * this.columnCount + column] ?? 0) * direction;
      if (Math.abs(rate) < PIVOT) continue;
      const variable = this.basic[row] ?? 0;
      const bound = (rate > 0 ? this.high[variable] : this.low[variable]) ?? 0;
      if (!Number.isFinite(bound)) continue;
      const length = Math.max(0, (bound - (this.value[variable] ?? 0)) / rate);
      const ranked = isCareful ? -variable : Math.abs(rate);
      const isTie = length <= least + TIE && best >= 0;
      if (length < least - TIE || (isTie && ranked > rank)) {
        [best, least, rank] = [row, Math.min(length, least), ranked];
      }
    }
    return [best, least];
  }

  private pivot(row: number, column: number): void {
    const { table, columnCount: n } = this;
    const from = row * n;
    const inverse = 1 / (table[from + column] ?? 1);
    // Most entries of a row are nothing: only the others are worth a step in every row.
    const { filled } = this;
    let count = 0;
    for (let j = 0; j < n; j++) {
      const entry = table[from + j] ?? 0;
      if (entry === 0) continue;
      table[from + j] = -entry * inverse;
      filled[count++] = j;
    }
    table[from + column] = inverse;
    for (let i = 0; i < this.rowCount; i++) {
      const start = i * n;
      const factor = table[start + column] ?? 0;
      if (i === row || factor === 0) continue;
      table[start + column] = 0;
      for (let k = 0; k < count; k++) {
        const j = filled[k] ?? 0;
        table[start + j] = (table[start + j] ?? 0) + factor * (table[from + j] ?? 0);
      }
    }
    const [leaving, entering] = [this.basic[row] ?? 0, this.nonbasic[column] ?? 0];
    this.basic[row] = entering;
    this.nonbasic[column] = leaving;
    this.place[entering] = row;
    this.place[leaving] = -1 - column;
  }

  /** Works the basic variables out anew, so that rounding does not add up. */
  private settle(): void {
    for (let row = 0; row < this.rowCount; row++) {
      this.value[this.basic[row] ?? 0] = this.activityOf(row);
    }
  }
}
