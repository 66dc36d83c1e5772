import type { LightGrid } from '../sampling/light-grid.ts';
import { DARKEST } from './aligned-profile.ts';

/**
 * How sure the mean of aligned columns is at each height: scatter between neighbouring columns, so that light that
 * changes along the edge is not taken for noise.
 *
 * @param columns ascending. @param first first height in rows from the edge. @param count heights.
 * @returns standard uncertainty of log10 of the mean; 0.5 where fewer than six pairs are known.
 */
export function profileNoise(
  grid: LightGrid,
  columns: readonly number[],
  heightAt: (u: number) => number,
  first: number,
  count: number,
): Float64Array {
  const out = new Float64Array(count).fill(0.5);
  const before = new Float64Array(count).fill(Number.NaN);
  const squares = new Float64Array(count);
  const pairs = new Float64Array(count);
  const sums = new Float64Array(count);
  const known = new Float64Array(count);
  for (const c of columns) {
    const shift = (heightAt(grid.u0 + c * grid.du) - grid.v0) / grid.dv;
    for (let i = 0; i < count; i++) {
      const r = Math.round(shift) + first + i;
      const e = r < 0 || r >= grid.rows ? Number.NaN : grid.light[r * grid.columns + c]!;
      if (Number.isFinite(e)) {
        sums[i] = sums[i]! + e;
        known[i] = known[i]! + 1;
        if (Number.isFinite(before[i]!)) {
          squares[i] = squares[i]! + (e - before[i]!) ** 2;
          pairs[i] = pairs[i]! + 1;
        }
      }
      before[i] = e;
    }
  }
  for (let i = 0; i < count; i++) {
    if (pairs[i]! < 6) continue;
    const mean = Math.max(DARKEST, sums[i]! / known[i]!);
    // Differences hold the noise twice; the mean of n columns has an n-th of its variance.
    const u = Math.sqrt(squares[i]! / pairs[i]! / 2 / known[i]!);
    out[i] = Math.min(0.5, u / mean / Math.LN10);
  }
  return out;
}
