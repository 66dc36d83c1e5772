import type { LightGrid } from '../../sampling/light-grid.ts';
import { tanFromDeg } from '../../units.ts';

/**
 * The board's light as intensity on coarse square cells: for what is seen from afar, spots, holes and streaks, not for
 * edges. Index = row·columns + column; row 0 is the lowest.
 */
export interface LightMap {
  readonly columns: number;
  readonly rows: number;
  /** Middle of the first cell, and the cells' size, tangent units. */
  readonly u0: number;
  readonly v0: number;
  readonly step: number;
  /** Intensity in the grid's units; NaN where the board ends. Print and gaps inside are bridged from around. */
  readonly light: Float64Array;
  /** Share of each cell that is clipped. */
  readonly clipped: Float64Array;
}

const STEP = tanFromDeg(0.2);
/** Gaps up to this many cells wide are bridged: a sheet of marks is 2 to 4 deg wide at 5 m. */
const BRIDGE = 6;

/** @param smooth passes of a three-cell blur: each is about 0.16 deg of standard deviation. */
export function lightMap(grid: LightGrid, smooth: number): LightMap {
  const columns = Math.max(1, Math.floor((grid.columns * grid.du) / STEP));
  const rows = Math.max(1, Math.floor((grid.rows * grid.dv) / STEP));
  const sum = new Float64Array(columns * rows);
  const clips = new Float64Array(columns * rows);
  const known = new Float64Array(columns * rows);
  const all = new Float64Array(columns * rows);
  for (let r = 0; r < grid.rows; r++) {
    const j = Math.floor(((r + 0.5) * grid.dv) / STEP);
    if (j >= rows) continue;
    const v = grid.v0 + r * grid.dv;
    for (let c = 0; c < grid.columns; c++) {
      const i = Math.floor(((c + 0.5) * grid.du) / STEP);
      if (i >= columns) continue;
      const k = j * columns + i;
      all[k] = all[k]! + 1;
      const e = grid.light[r * grid.columns + c]!;
      if (!Number.isFinite(e)) continue;
      const u = grid.u0 + c * grid.du;
      // Inverse square and cosine on a flat board (standards MET-6).
      const r2 = 1 + u * u + v * v;
      sum[k] = sum[k]! + e * r2 * Math.sqrt(r2);
      clips[k] = clips[k]! + grid.clipped[r * grid.columns + c]!;
      known[k] = known[k]! + 1;
    }
  }
  let light: Float64Array = sum.map((s, k) =>
    2 * known[k]! >= all[k]! && known[k]! > 0 ? s / known[k]! : Number.NaN,
  );
  light = bridged(light, columns, rows);
  for (let pass = 0; pass < smooth; pass++) light = blurred(light, columns, rows);
  return {
    columns,
    rows,
    u0: grid.u0 - grid.du / 2 + STEP / 2,
    v0: grid.v0 - grid.dv / 2 + STEP / 2,
    step: STEP,
    light,
    clipped: clips.map((c, k) => (known[k]! > 0 ? c / known[k]! : 0)),
  };
}

/** Unknown cells between known ones of their row, up to BRIDGE on, get the light that lies straight between. */
function bridged(light: Float64Array, columns: number, rows: number): Float64Array {
  const out = light.slice();
  for (let r = 0; r < rows; r++) {
    let last = -1;
    for (let c = 0; c < columns; c++) {
      const here = light[r * columns + c]!;
      if (!Number.isFinite(here)) continue;
      if (last >= 0 && c - last > 1 && c - last <= BRIDGE + 1) {
        const from = light[r * columns + last]!;
        for (let k = last + 1; k < c; k++)
          out[r * columns + k] = from + ((here - from) * (k - last)) / (c - last);
      }
      last = c;
    }
  }
  return out;
}

function blurred(light: Float64Array, columns: number, rows: number): Float64Array {
  const out = new Float64Array(light.length).fill(Number.NaN);
  for (let r = 0; r < rows; r++) {
    for (let c = 0; c < columns; c++) {
      if (!Number.isFinite(light[r * columns + c]!)) continue;
      let sum = 0;
      let n = 0;
      for (let y = Math.max(0, r - 1); y <= Math.min(rows - 1, r + 1); y++) {
        for (let x = Math.max(0, c - 1); x <= Math.min(columns - 1, c + 1); x++) {
          const value = light[y * columns + x]!;
          if (!Number.isFinite(value)) continue;
          const w = (y === r ? 2 : 1) * (x === c ? 2 : 1);
          sum += w * value;
          n += w;
        }
      }
      out[r * columns + c] = sum / n;
    }
  }
  return out;
}
