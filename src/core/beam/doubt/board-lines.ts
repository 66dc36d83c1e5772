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
  const log = new Float64Array(Math.max(0, r1 - r0 + 1)).fill(Number.NaN);
  for (let r = r0; r <= r1; r++) {
    let sum = 0;
    let n = 0;
    for (let c = c0; c <= c1; c++) {
      const k = r * grid.columns + c;
      if (!(grid.light[k]! > 0) || grid.clipped[k]! > 0) continue;
      sum += Math.log10(grid.light[k]!);
      n++;
    }
    if (2 * n > c1 - c0) log[r - r0] = sum / n;
  }
  const h = Math.max(1, Math.round(HALF / grid.dv));
  let best: BoardLine | null = null;
  const sizes: number[] = [];
  for (let i = 3 * h; i + 3 * h < log.length; i++) {
    const at = (k: number) => log[i + k * h]!;
    const step = at(1) - at(-1) - (at(3) - at(1) + at(-1) - at(-3)) / 2;
    // Both together: a tilted joint is a step, a groove a line.
    const line = (at(1) + at(-1)) / 2 - log[i]! - ((at(3) + at(-3)) / 2 - (at(1) + at(-1)) / 2) / 8;
    const depth = Math.max(Math.abs(step), 2 * Math.abs(line));
    if (!Number.isFinite(depth)) continue;
    sizes.push(depth);
    if (best === null || depth > best.depth) best = { at: grid.v0 + (r0 + i) * grid.dv - v, depth };
  }
  if (best === null || sizes.length < 20) return null;
  sizes.sort((a, b) => a - b);
  // What stands out from the grain of the other rows.
  return { ...best, depth: Math.max(0, best.depth - 3 * sizes[sizes.length >> 1]!) };
}
