import type { LightGrid } from '../sampling/light-grid.ts';
import { tanFromDeg } from '../units.ts';
import { smoothLog } from './inflection.ts';

/** The steepest continuous edge across the grid, to the nearest row: where the fine estimators start. */
export interface EdgePath {
  /** Row of the edge per column, or -1 where the column shows none. */
  readonly row: Int16Array;
  /** Fall of log10 E per 0.1 deg along the path, per column. */
  readonly strength: Float64Array;
}

/** Smoothing that keeps noise from looking like an edge: log light, so that it does not shift it. */
const SIGMA = tanFromDeg(0.1);
/** A 45-degree step climbs as much as it goes along; blur and columns leave it below this. */
const STEEPEST = 1.4;

/**
 * The path with the greatest total fall of log light, found by dynamic programming over columns: one weak or dirty
 * column can't pull it away.
 *
 * @param logLight columns·rows values of log10 light with a floor; NaN where unknown, index row·columns + column.
 * @param from, to columns to join, both included.
 */
export function findEdgePath(grid: LightGrid, logLight: Float64Array, from: number, to: number): EdgePath {
  const { columns, rows, du, dv } = grid;
  const perStep = tanFromDeg(0.1) / dv;
  const reach = Math.max(1, Math.ceil((STEEPEST * du) / dv));
  const score = new Float64Array(columns * rows).fill(-1e9);
  const back = new Int16Array(columns * rows);
  const fall = new Float64Array(columns * rows);
  const column = new Float64Array(rows);
  for (let c = from; c <= to; c++) {
    for (let r = 0; r < rows; r++) column[r] = logLight[r * columns + c]!;
    const smooth = smoothLog(column, SIGMA / dv);
    for (let r = 1; r < rows - 1; r++) {
      const slope = ((smooth[r - 1]! - smooth[r + 1]!) / 2) * perStep;
      fall[r * columns + c] = Number.isFinite(slope) && Number.isFinite(column[r]!) ? slope : 0;
    }
    forgetKnifeEdges(column, fall, c, columns, Math.max(2, Math.round(tanFromDeg(0.06) / dv)));
  }
  // A small price for bending keeps the path from jumping between two edges of like strength.
  const price = 0.003;
  for (let c = from; c <= to; c++) {
    for (let r = 0; r < rows; r++) {
      const own = Math.min(0.4, Math.max(0, fall[r * columns + c]!));
      if (c === from) {
        score[r * columns + c] = own;
        continue;
      }
      let best = -Infinity;
      let step = 0;
      for (let k = -reach; k <= reach; k++) {
        const before = r + k;
        if (before < 0 || before >= rows) continue;
        const s = score[before * columns + c - 1]! - price * Math.abs(k);
        if (s > best) {
          best = s;
          step = k;
        }
      }
      score[r * columns + c] = best + own;
      back[r * columns + c] = step;
    }
  }
  let r = 0;
  for (let k = 1; k < rows; k++) if (score[k * columns + to]! > score[r * columns + to]!) r = k;
  const row = new Int16Array(columns).fill(-1);
  const strength = new Float64Array(columns);
  for (let c = to; c >= from; c--) {
    row[c] = r;
    strength[c] = fall[r * columns + c]!;
    r += back[r * columns + c]!;
  }
  return { row, strength };
}

/**
 * The end of the board, a strip of tape or a hard shadow falls within a few hundredths of a degree; light from a lamp
 * never does. Such steps are no cut-off, however strong.
 * @param few rows in 0.06 deg.
 */
function forgetKnifeEdges(
  log: Float64Array,
  fall: Float64Array,
  c: number,
  columns: number,
  few: number,
): void {
  const wide = 5 * few;
  for (let r = wide; r < log.length - wide; r++) {
    const near = log[r]! - log[r + few]!;
    if (!(Math.abs(near) > 0.3)) continue;
    const far = log[r - 2 * few]! - log[r + 3 * few]!;
    if (!(Math.abs(near) > 0.7 * Math.abs(far))) continue;
    for (let k = r - wide; k <= r + wide; k++) fall[k * columns + c] = Math.min(0, fall[k * columns + c]!);
  }
}
