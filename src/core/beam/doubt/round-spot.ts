import type { LightGrid } from '../../sampling/light-grid.ts';
import { tanFromDeg } from '../../units.ts';
import type { HotSpot } from '../finding.ts';

/** How steeply the light falls away from the hot spot, going down, left and right: log10 per 0.1 deg at its steepest. */
export interface Flanks {
  readonly down: number;
  readonly left: number;
  readonly right: number;
}

const STRIP = tanFromDeg(1);
const NEAREST = tanFromDeg(0.4);
const FARTHEST = tanFromDeg(6.5);
/** Steps of 0.1 deg over which a fall must go on. */
const GOES_ON = 6;

/**
 * A dipped beam falls steeply upwards alone: downwards lies the foreground, sideways the spread. A torch, a main beam or
 * a lamp overhead falls as steeply downwards. Nought where the board or the photo ends too soon to tell.
 */
export function flanksOf(grid: LightGrid, spot: HotSpot): Flanks {
  const u = spot.offsetPct.value / 100;
  const v = -spot.dropPct.value / 100;
  const column = (at: number) => Math.round((at - grid.u0) / grid.du);
  const row = (at: number) => Math.round((at - grid.v0) / grid.dv);
  const mean = (r0: number, r1: number, c0: number, c1: number): number => {
    let sum = 0;
    let n = 0;
    let all = 0;
    for (let r = r0; r <= r1; r++) {
      for (let c = c0; c <= c1; c++) {
        if (r < 0 || c < 0 || r >= grid.rows || c >= grid.columns) continue;
        all++;
        const k = r * grid.columns + c;
        if (!(grid.light[k]! > 0) || grid.clipped[k]! > 0) continue;
        sum += grid.light[k]!;
        n++;
      }
    }
    return 2 * n > all && n > 0 ? Math.log10(sum / n) : Number.NaN;
  };
  const half = Math.round(STRIP / grid.du);
  const high = Math.round(STRIP / grid.dv / 2);
  const steps = Math.round(FARTHEST / grid.du);
  const along = (at: (i: number) => number) => Float64Array.from({ length: steps }, (_, i) => at(i));
  const per = Math.max(1, Math.round(grid.du / grid.dv));
  const middle = column(u);
  const level = row(v);
  const down = along((i) => mean(level - (i + 1) * per + 1, level - i * per, middle - half, middle + half));
  const left = along((i) => mean(level - high, level + high, middle - i, middle - i));
  const right = along((i) => mean(level - high, level + high, middle + i, middle + i));
  return { down: steepest(down, grid.du), left: steepest(left, grid.du), right: steepest(right, grid.du) };
}

/**
 * The steepest fall that goes on over several steps, per 0.1 deg: each of them must fall, so that the end of a board, a
 * shadow or print, which fall within one or two, count for nothing.
 */
function steepest(log: Float64Array, step: number): number {
  let most = 0;
  for (let i = Math.round(NEAREST / step); i + GOES_ON < log.length; i++) {
    let least = Number.POSITIVE_INFINITY;
    for (let k = i; k < i + GOES_ON; k++) {
      const fall = ((log[k]! - log[k + 1]!) * tanFromDeg(0.1)) / step;
      least = Math.min(least, Number.isFinite(fall) ? fall : 0);
    }
    most = Math.max(most, least);
  }
  return most;
}
