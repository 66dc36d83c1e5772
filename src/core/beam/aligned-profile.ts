import type { LightGrid } from '../sampling/light-grid.ts';
import type { Profile } from './inflection.ts';

/** Light below this share of full scale is darkness and coding steps, not a measurement. */
export const DARKEST = 2e-4;

/**
 * The mean vertical run of light over some columns, each shifted so that `heightAt` lies at zero: averaging along the
 * edge takes out noise without smoothing across it. The mean is of linear light, the log is taken last.
 *
 * @param columns which columns; any order.
 * @param heightAt the edge's rough height at u, tangent units.
 * @param reach how far below and above to look, tangent units.
 * @returns log10 of the mean light against height above the edge; NaN where fewer than 9 in 10 columns are known
 *   (clipped light counts as unknown), so that columns of unlike brightness never take turns.
 */
export function alignedProfile(
  grid: LightGrid,
  columns: readonly number[],
  heightAt: (u: number) => number,
  reach: { readonly below: number; readonly above: number },
): Profile {
  const { dv, rows } = grid;
  const first = -Math.ceil(reach.below / dv);
  const n = Math.ceil(reach.above / dv) - first + 1;
  const sum = new Float64Array(n);
  const known = new Float64Array(n);
  for (const c of columns) {
    const shift = (heightAt(grid.u0 + c * grid.du) - grid.v0) / dv;
    for (let i = 0; i < n; i++) {
      const at = shift + first + i;
      const r = Math.floor(at);
      if (r < 0 || r + 1 >= rows) continue;
      const k = r * grid.columns + c;
      const low = grid.light[k]!;
      const high = grid.light[k + grid.columns]!;
      if (!Number.isFinite(low) || !Number.isFinite(high)) continue;
      if (grid.clipped[k]! > 0 || grid.clipped[k + grid.columns]! > 0) continue;
      const f = at - r;
      sum[i] = sum[i]! + low * (1 - f) + high * f;
      known[i] = known[i]! + 1;
    }
  }
  const log = new Float64Array(n).fill(Number.NaN);
  const enough = 0.9 * columns.length;
  for (let i = 0; i < n; i++)
    if (known[i]! >= enough && known[i]! > 0) log[i] = Math.log10(Math.max(DARKEST, sum[i]! / known[i]!));
  return { v0: first * dv, dv, log };
}
