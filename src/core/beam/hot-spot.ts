import type { LightGrid } from '../sampling/light-grid.ts';
import { causeId, type Estimate, exactly } from '../uncertainty/estimate.ts';
import { tanFromDeg } from '../units.ts';
import type { HotSpot } from './finding.ts';

/** What the hot spot was made from, for the callers that need the peak. */
export interface HotSpotMeasure {
  readonly u: number;
  readonly v: number;
  /** Smoothed peak intensity, in the grid's light units at the axis. */
  readonly peak: number;
  readonly clippedShare: number;
  /** How far the centroid moves between shares of 0.75 and 0.85 of the peak: how vague the spot is. */
  readonly spreadU: number;
  readonly spreadV: number;
  /** Half width and half height of the bright zone, as standard deviations of a bell-shaped spot, tangents. */
  readonly widthU: number;
  readonly widthV: number;
}

/**
 * A bell of standard deviation 1 is above 80 % of its peak within 0.668; light spread over that disc has half of its
 * radius as standard deviation, or a little less.
 */
const ZONE_TO_BELL = 2 / 0.668;
/**
 * Lens shading and board: unknown slope of log light across the spot, per tangent unit, k = 1. A lens that loses a
 * quarter in the corners, seen a third of the way out, makes 1.1; phones correct most of it (common practice, no source).
 */
const UNEVEN_SLOPE = 0.5;

/** Smoothing before the peak is taken: enough for noise; wider, the dark beyond the cut-off pulls the spot down. */
const SMOOTH = tanFromDeg(0.1);

/**
 * Centroid of intensity above 80 % of the smoothed peak.
 * Intensity from illuminance on a flat board: I = E·r³/D, r the slant distance in units of D (inverse square and
 * cosine; standards MET-6).
 *
 * @returns null when nothing is lit.
 */
export function measureHotSpot(grid: LightGrid): HotSpotMeasure | null {
  const coarse = coarsen(grid);
  const { light, clipped, columns, rows } = coarse;
  let peak = 0;
  let peakAt = -1;
  for (let i = 0; i < light.length; i++) {
    const value = light[i]!;
    if (value > peak) {
      peak = value;
      peakAt = i;
    }
  }
  if (peakAt < 0 || !(peak > 0)) return null;
  const centroid = (share: number) => {
    const zone = connected(light, columns, rows, peakAt, share * peak);
    let w = 0;
    let u = 0;
    let v = 0;
    let clips = 0;
    let uu = 0;
    let vv = 0;
    for (const i of zone) {
      const c = i % columns;
      const r = (i - c) / columns;
      w += light[i]!;
      u += light[i]! * (coarse.u0 + c * coarse.step);
      v += light[i]! * (coarse.v0 + r * coarse.step);
      uu += light[i]! * (coarse.u0 + c * coarse.step) ** 2;
      vv += light[i]! * (coarse.v0 + r * coarse.step) ** 2;
      clips += clipped[i]!;
    }
    return {
      u: u / w,
      v: v / w,
      uu: Math.max(0, uu / w - (u / w) ** 2),
      vv: Math.max(0, vv / w - (v / w) ** 2),
      clips: clips / zone.length,
    };
  };
  const here = centroid(0.8);
  const wide = centroid(0.75);
  const tight = centroid(0.85);
  return {
    u: here.u,
    v: here.v,
    peak,
    clippedShare: here.clips,
    spreadU: Math.abs(wide.u - tight.u) / 2,
    spreadV: Math.abs(wide.v - tight.v) / 2,
    widthU: ZONE_TO_BELL * Math.sqrt(here.uu),
    widthV: ZONE_TO_BELL * Math.sqrt(here.vv),
  };
}

/** The hot spot as estimates: drop positive down, offset positive right, per cent. */
export function hotSpotOf(measure: HotSpotMeasure, noiseCause: `noise@${string}`): HotSpot {
  // A clipped zone has no peak to weigh by: its centroid is good to a part of its own size only.
  const clipU = measure.clippedShare > 0 ? 0.3 * measure.clippedShare : 0;
  // A slope g of log light moves a bell of width s by g s squared.
  const make = (value: number, spread: number, width: number): Estimate => ({
    ...exactly(value),
    parts: {
      [noiseCause]: Math.hypot(0.03, 100 * spread, clipU),
      [causeId('uneven-light')]: 100 * UNEVEN_SLOPE * width ** 2,
    },
  });
  return {
    dropPct: make(-100 * measure.v, measure.spreadV, measure.widthV),
    offsetPct: make(100 * measure.u, measure.spreadU, measure.widthU),
    clippedShare: measure.clippedShare,
  };
}

interface Coarse {
  readonly columns: number;
  readonly rows: number;
  readonly u0: number;
  readonly v0: number;
  readonly step: number;
  readonly light: Float64Array;
  readonly clipped: Float64Array;
}

/** Square cells as wide as a column, as intensity, then smoothed twice by a box: near enough a Gaussian. */
function coarsen(grid: LightGrid): Coarse {
  const per = Math.max(1, Math.round(grid.du / grid.dv));
  const rows = Math.floor(grid.rows / per);
  const { columns } = grid;
  let light: Float64Array = new Float64Array(columns * rows).fill(Number.NaN);
  const clipped = new Float64Array(columns * rows);
  const v0 = grid.v0 + ((per - 1) * grid.dv) / 2;
  for (let r = 0; r < rows; r++) {
    for (let c = 0; c < columns; c++) {
      let sum = 0;
      let n = 0;
      let clips = 0;
      for (let k = 0; k < per; k++) {
        const i = (r * per + k) * columns + c;
        if (!Number.isFinite(grid.light[i]!)) continue;
        sum += grid.light[i]!;
        clips += grid.clipped[i]!;
        n++;
      }
      if (n * 2 < per) continue;
      const u = grid.u0 + c * grid.du;
      const v = v0 + r * per * grid.dv;
      light[r * columns + c] = (sum / n) * (1 + u * u + v * v) ** 1.5;
      clipped[r * columns + c] = clips / n;
    }
  }
  const reach = Math.max(1, Math.round(SMOOTH / grid.du));
  for (let pass = 0; pass < 2; pass++) light = boxBlur(light, columns, rows, reach);
  return { columns, rows, u0: grid.u0, v0, step: grid.du, light, clipped };
}

function boxBlur(values: Float64Array, columns: number, rows: number, reach: number): Float64Array {
  const out = new Float64Array(values.length).fill(Number.NaN);
  for (let r = 0; r < rows; r++) {
    for (let c = 0; c < columns; c++) {
      // Where nothing was measured (print, off the board) nothing is made up.
      if (!Number.isFinite(values[r * columns + c]!)) continue;
      let sum = 0;
      let n = 0;
      for (let y = Math.max(0, r - reach); y <= Math.min(rows - 1, r + reach); y++) {
        for (let x = Math.max(0, c - reach); x <= Math.min(columns - 1, c + reach); x++) {
          const value = values[y * columns + x]!;
          if (!Number.isFinite(value)) continue;
          sum += value;
          n++;
        }
      }
      out[r * columns + c] = sum / n;
    }
  }
  return out;
}

/** Cells joined to `start` whose value is at least `least`. */
function connected(
  values: Float64Array,
  columns: number,
  rows: number,
  start: number,
  least: number,
): number[] {
  const seen = new Uint8Array(values.length);
  const stack = [start];
  const zone: number[] = [];
  seen[start] = 1;
  while (stack.length > 0) {
    const i = stack.pop()!;
    zone.push(i);
    const c = i % columns;
    const r = (i - c) / columns;
    for (const [x, y] of [
      [c - 1, r],
      [c + 1, r],
      [c, r - 1],
      [c, r + 1],
    ] as const) {
      if (x < 0 || y < 0 || x >= columns || y >= rows) continue;
      const k = y * columns + x;
      if (seen[k] || !(values[k]! >= least)) continue;
      seen[k] = 1;
      stack.push(k);
    }
  }
  return zone;
}
