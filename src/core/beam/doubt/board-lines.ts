import type { LightGrid } from '../../sampling/light-grid.ts';
import { tanFromDeg } from '../../units.ts';
import type { CutOffFinding } from '../finding.ts';

/** A line or step across the board, sharper than light can be. */
export interface BoardLine {
  /** Height over the measured edge, tangent. */
  readonly at: number;
  /** log10: how much darker a line is than its surroundings, or how far a step goes. */
  readonly depth: number;
}

/** Columns about the measured place, and rows about the edge, that are looked at. */
const HALF_WIDTH = tanFromDeg(1.5);
const REACH = tanFromDeg(0.9);
/** Standard deviations of the columns' mean that grain may feign. */
const SURE = 4;
/** Half the height within which a line or step must happen. */
const HALF = tanFromDeg(0.03);

/**
 * The most marked line or step along the board near the edge. Rows are averaged along the board, not along the edge:
 * joints, grooves and tape are level on it. What light does over 0.18 deg is nearly a parabola and cancels; a joint's gap
 * and the unlike paint beyond it do not.
 * @returns null when too few rows are known.
 */
export function boardLineNear(grid: LightGrid, finding: CutOffFinding): BoardLine | null {
  const u = finding.dropAtOffsetPct / 100;
  const v = -finding.dropPct.value / 100;
  const c0 = Math.max(0, Math.round((u - HALF_WIDTH - grid.u0) / grid.du));
  const c1 = Math.min(grid.columns - 1, Math.round((u + HALF_WIDTH - grid.u0) / grid.du));
  const r0 = Math.max(0, Math.round((v - REACH - grid.v0) / grid.dv));
  const r1 = Math.min(grid.rows - 1, Math.round((v + REACH - grid.v0) / grid.dv));
  const h = Math.max(1, Math.round(HALF / grid.dv));
  let best: BoardLine | null = null;
  const sizes: number[] = [];
  for (let r = r0 + 3 * h; r + 3 * h <= r1; r++) {
    const depth = depthAt(grid, r, h, c0, c1);
    if (depth === null) continue;
    sizes.push(depth);
    if (best === null || depth > best.depth) best = { at: grid.v0 + r * grid.dv - v, depth };
  }
  if (best === null || sizes.length < 20) return null;
  sizes.sort((a, b) => a - b);
  // What stands out from the grain of the other rows.
  return { ...best, depth: Math.max(0, best.depth - 3 * sizes[sizes.length >> 1]!) };
}

/** Step or line at a row, from columns that are known over all of it: columns that take turns would make steps. */
function depthAt(grid: LightGrid, r: number, h: number, c0: number, c1: number): number | null {
  let steps = 0;
  let steps2 = 0;
  let lines = 0;
  let lines2 = 0;
  let n = 0;
  const log = (k: number): number =>
    grid.light[k]! > 0 && !(grid.clipped[k]! > 0) ? Math.log10(grid.light[k]!) : Number.NaN;
  for (let c = c0; c <= c1; c++) {
    const at = (k: number) => log((r + k * h) * grid.columns + c);
    const near = (at(1) + at(-1)) / 2;
    const step = at(1) - at(-1) - (at(3) - at(1) + at(-1) - at(-3)) / 2;
    const line = near - at(0) - ((at(3) + at(-3)) / 2 - near) / 8;
    if (!Number.isFinite(step + line)) continue;
    steps += step;
    steps2 += step * step;
    lines += line;
    lines2 += line * line;
    n++;
  }
  if (2 * n <= c1 - c0) return null;
  // In the dark grain differs from row to row: what the columns themselves disagree by is taken off.
  const sure = (sum: number, squares: number): number => {
    const mean = sum / n;
    const doubt = Math.sqrt(Math.max(0, squares / n - mean * mean) / n);
    return Math.max(0, Math.abs(mean) - SURE * doubt);
  };
  return Math.max(sure(steps, steps2), 2 * sure(lines, lines2));
}

/** Half the step of log10 light across a usual cut-off. */
const USUAL_HALF_STEP = 0.7;

/**
 * What a cut-off itself looks like to this check: an edge whose log10 light falls by a tanh with sharpness G, seen at
 * its middle. Sharp lamps far from the board come to 0.2 and must not be taken for a joint.
 * @param g fall of log10 light over 0.1 deg.
 */
export function stepOfEdge(g: number): number {
  // G = 2 b tanh(0.05 deg / s) gives the width s; the check then sees b (3 tanh(h/s) - tanh(3h/s)) with h its half height.
  const share = Math.min(0.98, Math.max(0, g / (2 * USUAL_HALF_STEP)));
  const perDeg = Math.atanh(share) / 0.05;
  const h = 0.04 * perDeg;
  return USUAL_HALF_STEP * (3 * Math.tanh(h) - Math.tanh(3 * h));
}
