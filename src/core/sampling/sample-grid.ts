import type { BoardView, Registration } from '../board-view.ts';
import type { BoardPoint } from '../frames.ts';
import { boardPointOf } from '../geometry/board-projection.ts';
import { tangentOf, tangentToBoardMatrix } from '../geometry/lamp-tangents.ts';
import type { LampView } from '../lamp-view.ts';
import { type ToneParams, toneTable } from '../photometry/tone-response.ts';
import { LUMINANCE_WEIGHTS, linearTable } from '../photometry/transfer-curve.ts';
import type { Raster } from '../raster.ts';
import { tanFromDeg } from '../units.ts';
import type { LightGrid } from './light-grid.ts';

/** The window to sample, in tangents. */
export interface GridSpec {
  readonly minU: number;
  readonly maxU: number;
  readonly minV: number;
  readonly maxV: number;
  readonly du: number;
  readonly dv: number;
}

/** Where the board ends, board mm. */
export interface BoardExtent {
  readonly left: number;
  readonly right: number;
  readonly bottom: number;
  readonly top: number;
}

export interface SampleOptions {
  readonly extent?: BoardExtent | null;
  readonly spec?: GridSpec;
  /** The same view with the lamps off: subtracted in linear light. Must have the photo's size. */
  readonly lampsOff?: Raster | null;
  /** The camera's response (photometry/tone-response.ts): undone before anything is averaged. */
  readonly tone?: ToneParams;
}

/** 0.1 deg between columns: a tenth of what the cut-off annex samples sideways. */
const COLUMN_STEP = tanFromDeg(0.1);
/** 0.02 deg between rows: a fifth of the 0.1 deg that defines G. */
const ROW_STEP = tanFromDeg(0.02);
/** A window wide enough for a beam aimed 4 % off; more board than this says nothing about aim. */
const WINDOW: Pick<GridSpec, 'minU' | 'maxU' | 'minV' | 'maxV'> = {
  minU: -0.19,
  maxU: 0.19,
  minV: -0.14,
  maxV: 0.1,
};
/** Print is left out with this margin: blur and a sheet's lifted edge reach that far. */
const PRINT_MARGIN_MM = 4;

/** The window that the photo and the board leave of the usual one. */
export function defaultGridSpec(
  photo: { readonly width: number; readonly height: number },
  registration: Pick<Registration, 'view'>,
  lamp: LampView,
  extent: BoardExtent | null,
): GridSpec {
  let { minU, maxU, minV, maxV } = WINDOW;
  const corners: BoardPoint[] = [];
  for (const fx of [0, 0.25, 0.5, 0.75, 1]) {
    for (const fy of [0, 0.25, 0.5, 0.75, 1]) {
      if (fx > 0 && fx < 1 && fy > 0 && fy < 1) continue;
      corners.push(
        boardPointOf(registration.view, { x: fx * (photo.width - 1), y: fy * (photo.height - 1) }),
      );
    }
  }
  const seen = corners
    .map((p) => tangentOf(lamp, p))
    .filter((t) => Number.isFinite(t.u) && Number.isFinite(t.v));
  if (seen.length === corners.length) {
    minU = Math.max(minU, Math.min(...seen.map((t) => t.u)));
    maxU = Math.min(maxU, Math.max(...seen.map((t) => t.u)));
    minV = Math.max(minV, Math.min(...seen.map((t) => t.v)));
    maxV = Math.min(maxV, Math.max(...seen.map((t) => t.v)));
  }
  if (extent) {
    const ends = [
      tangentOf(lamp, { X: extent.left, Y: extent.bottom }),
      tangentOf(lamp, { X: extent.right, Y: extent.top }),
    ] as const;
    minU = Math.max(minU, ends[0].u);
    maxU = Math.min(maxU, ends[1].u);
    minV = Math.max(minV, ends[0].v);
    maxV = Math.min(maxV, ends[1].v);
  }
  return { minU, maxU, minV, maxV, du: COLUMN_STEP, dv: ROW_STEP };
}

/**
 * Relative illuminance on a regular grid of tangents, straight from the photo: sampled, never warped.
 * Each cell is the mean of bilinear samples about one photo pixel apart, in linear light.
 *
 * @param raster the photo, sRGB-coded.
 * @param registration where the board is in the photo.
 * @param lamp where the lamp's axis meets the board.
 * @returns the grid; cells outside photo or board, or over print, are NaN. May have no cells at all.
 */
export function sampleLightGrid(
  raster: Raster,
  registration: Pick<Registration, 'view' | 'printedAreas'>,
  lamp: LampView,
  options: SampleOptions = {},
): LightGrid {
  const extent = options.extent ?? null;
  const spec = options.spec ?? defaultGridSpec(raster, registration, lamp, extent);
  const columns = Math.max(0, Math.floor((spec.maxU - spec.minU) / spec.du));
  const rows = Math.max(0, Math.floor((spec.maxV - spec.minV) / spec.dv));
  const u0 = spec.minU + spec.du / 2;
  const v0 = spec.minV + spec.dv / 2;
  const light = new Float32Array(columns * rows).fill(Number.NaN);
  const clipped = new Float32Array(columns * rows);
  if (columns === 0 || rows === 0)
    return { columns, rows, u0, du: spec.du, v0, dv: spec.dv, light, clipped, pixelsPerCell: 0 };
  const corners = cornerRows(registration.view, lamp, columns, spec);

  // The photo's pixels per cell, at the grid's middle, choose how many samples a cell needs.
  const [low, high] = [corners.row(rows >> 1), corners.row((rows >> 1) + 1)];
  const m = columns >> 1;
  const pxWide = Math.hypot(low.x[m + 1]! - low.x[m]!, low.y[m + 1]! - low.y[m]!);
  const pxHigh = Math.hypot(high.x[m]! - low.x[m]!, high.y[m]! - low.y[m]!);
  const nu = Math.min(6, Math.max(1, Math.round(pxWide / 1.5)));
  const nv = Math.min(3, Math.max(1, Math.round(pxHigh / 1.25)));

  const print = printMask(registration.printedAreas, lamp, {
    columns,
    rows,
    u0,
    v0,
    du: spec.du,
    dv: spec.dv,
  });
  const { width, height, channels, data } = raster;
  const tableFor = (maxLevel: number) =>
    options.tone ? toneTable(maxLevel, options.tone) : linearTable(maxLevel);
  const table = tableFor(raster.maxLevel);
  const clipLevel = Math.floor(raster.maxLevel * 0.988);
  const off = options.lampsOff ?? null;
  const offTable = off && off.maxLevel !== raster.maxLevel ? tableFor(off.maxLevel) : table;
  const { red: wr, green: wg, blue: wb } = LUMINANCE_WEIGHTS;
  const down = width * channels;
  const rowsOfCorners = Array.from({ length: rows + 1 }, (_, r) => corners.row(r));

  /** Fills one cell with the mean of across·upwards bilinear samples. */
  const fill = (r: number, c: number, across: number, upwards: number): void => {
    const below = rowsOfCorners[r]!;
    const above = rowsOfCorners[r + 1]!;
    // Inside a cell the map is straight to far below a pixel: its corners are exact.
    const x00 = below.x[c]!;
    const y00 = below.y[c]!;
    const ax = below.x[c + 1]! - x00;
    const ay = below.y[c + 1]! - y00;
    const bx = above.x[c]! - x00;
    const by = above.y[c]! - y00;
    // Locals: the loop below runs a million times, and reads through a closure cost it a third.
    const pixels = data;
    const lin = table;
    const stride = channels;
    const perRow = width;
    let sum = 0;
    let clips = 0;
    for (let j = 0; j < upwards; j++) {
      const fv = (j + 0.5) / upwards;
      for (let i = 0; i < across; i++) {
        const fu = (i + 0.5) / across;
        const x = x00 + fu * ax + fv * bx;
        const y = y00 + fu * ay + fv * by;
        const xi = x | 0;
        const yi = y | 0;
        const fx = x - xi;
        const fy = y - yi;
        const a = (yi * perRow + xi) * stride;
        const b = a + stride;
        const d = a + down;
        const e = d + stride;
        const w11 = fx * fy;
        const w10 = fx - w11;
        const w01 = fy - w11;
        const w00 = 1 - fx - w01;
        sum +=
          wr *
            (w00 * lin[pixels[a]!]! +
              w10 * lin[pixels[b]!]! +
              w01 * lin[pixels[d]!]! +
              w11 * lin[pixels[e]!]!) +
          wg *
            (w00 * lin[pixels[a + 1]!]! +
              w10 * lin[pixels[b + 1]!]! +
              w01 * lin[pixels[d + 1]!]! +
              w11 * lin[pixels[e + 1]!]!) +
          wb *
            (w00 * lin[pixels[a + 2]!]! +
              w10 * lin[pixels[b + 2]!]! +
              w01 * lin[pixels[d + 2]!]! +
              w11 * lin[pixels[e + 2]!]!);
        if (pixels[a]! >= clipLevel || pixels[a + 1]! >= clipLevel || pixels[a + 2]! >= clipLevel) clips++;
        if (off) {
          const o = (yi * width + xi) * off.channels;
          sum -=
            wr * offTable[off.data[o]!]! +
            wg * offTable[off.data[o + 1]!]! +
            wb * offTable[off.data[o + 2]!]!;
        }
      }
    }
    const index = r * columns + c;
    light[index] = sum / (across * upwards);
    clipped[index] = clips / (across * upwards);
  };

  const onBoard = extent
    ? boardMask(lamp, extent, { columns, rows, u0, v0, du: spec.du, dv: spec.dv })
    : null;
  const few = Math.min(nu, 2);
  for (let r = 0; r < rows; r++) {
    const below = rowsOfCorners[r]!;
    const above = rowsOfCorners[r + 1]!;
    for (let c = 0; c < columns; c++) {
      const index = r * columns + c;
      if (print[index] || (onBoard && !onBoard[index])) continue;
      if (!insidePhoto(below.x[c]!, below.y[c]!, width, height)) continue;
      if (!insidePhoto(above.x[c + 1]!, above.y[c + 1]!, width, height)) continue;
      if (!insidePhoto(below.x[c + 1]!, below.y[c + 1]!, width, height)) continue;
      if (!insidePhoto(above.x[c]!, above.y[c]!, width, height)) continue;
      fill(r, c, few, 1);
    }
  }
  // Only about the edge is every pixel worth its time: elsewhere two samples per cell tell enough.
  if (nu * nv > few) {
    for (let c = 0; c < columns; c++) {
      const band = edgeBand(light, columns, rows, c, spec.dv);
      if (!band) continue;
      for (let r = band[0]; r <= band[1]; r++)
        if (Number.isFinite(light[r * columns + c]!)) fill(r, c, nu, nv);
    }
  }
  return { columns, rows, u0, du: spec.du, v0, dv: spec.dv, light, clipped, pixelsPerCell: pxWide * pxHigh };
}

/** How far about the place where a column goes dark the full pixels are used: the reach of every fit that follows. */
const BAND = tanFromDeg(1.6);
/** Light in a column falls through this share of its own brightest place near the cut-off. */
const CROSSING = 0.12;

/** Rows about the topmost place where a column's light falls through CROSSING of its brightest; null in darkness. */
function edgeBand(
  light: Float32Array,
  columns: number,
  rows: number,
  c: number,
  dv: number,
): readonly [number, number] | null {
  let brightest = 0;
  for (let r = 0; r < rows; r++) {
    const e = light[r * columns + c]!;
    if (e > brightest) brightest = e;
  }
  if (!(brightest > 0)) return null;
  for (let r = rows - 3; r >= 2; r--) {
    // Three rows together, so that one noisy cell in the dark is not taken for the beam.
    const e = light[r * columns + c]! + light[(r - 1) * columns + c]! + light[(r + 1) * columns + c]!;
    if (!(e > 3 * CROSSING * brightest)) continue;
    const reach = Math.ceil(BAND / dv);
    return [Math.max(0, r - reach), Math.min(rows - 1, r + reach)];
  }
  return null;
}

/** Which cells lie on the board: 1 inside its ends. */
function boardMask(
  lamp: LampView,
  extent: BoardExtent,
  g: Pick<LightGrid, 'columns' | 'rows' | 'u0' | 'v0' | 'du' | 'dv'>,
): Uint8Array {
  const mask = new Uint8Array(g.columns * g.rows);
  const m = tangentToBoardMatrix(lamp);
  for (let r = 0; r < g.rows; r++) {
    const v = g.v0 + r * g.dv;
    for (let c = 0; c < g.columns; c++) {
      const u = g.u0 + c * g.du;
      const w = m[6]! * u + m[7]! * v + m[8]!;
      const X = (m[0]! * u + m[1]! * v + m[2]!) / w;
      const Y = (m[3]! * u + m[4]! * v + m[5]!) / w;
      if (X >= extent.left && X <= extent.right && Y >= extent.bottom && Y <= extent.top)
        mask[r * g.columns + c] = 1;
    }
  }
  return mask;
}

function insidePhoto(x: number, y: number, width: number, height: number): boolean {
  return x >= 1 && y >= 1 && x < width - 2 && y < height - 2;
}

interface CornerRow {
  readonly x: Float64Array;
  readonly y: Float64Array;
}

/** Where the corners of the grid's cells lie in the photo, one row of corners at a time. */
function cornerRows(
  view: BoardView,
  lamp: LampView,
  columns: number,
  spec: GridSpec,
): { row(r: number): CornerRow } {
  const t = tangentToBoardMatrix(lamp);
  const h = view.homography;
  const m = new Float64Array(9);
  for (let i = 0; i < 3; i++)
    for (let j = 0; j < 3; j++)
      m[i * 3 + j] = h[i * 3]! * t[j]! + h[i * 3 + 1]! * t[3 + j]! + h[i * 3 + 2]! * t[6 + j]!;
  const { k1, cx, cy, scalePx } = view.radial;
  return {
    row(r) {
      const x = new Float64Array(columns + 1);
      const y = new Float64Array(columns + 1);
      const v = spec.minV + r * spec.dv;
      for (let c = 0; c <= columns; c++) {
        const u = spec.minU + c * spec.du;
        const w = m[6]! * u + m[7]! * v + m[8]!;
        const dx = (m[0]! * u + m[1]! * v + m[2]!) / w - cx;
        const dy = (m[3]! * u + m[4]! * v + m[5]!) / w - cy;
        const s = 1 + (k1 * (dx * dx + dy * dy)) / (scalePx * scalePx);
        x[c] = cx + dx * s;
        y[c] = cy + dy * s;
      }
      return { x, y };
    },
  };
}

/** Which cells lie on print (with a margin): 1 where light must not be measured. */
function printMask(
  areas: readonly (readonly BoardPoint[])[],
  lamp: LampView,
  g: Pick<LightGrid, 'columns' | 'rows' | 'u0' | 'du' | 'v0' | 'dv'>,
): Uint8Array {
  const mask = new Uint8Array(g.columns * g.rows);
  for (const area of areas) {
    const grown = grow(area, PRINT_MARGIN_MM).map((p) => tangentOf(lamp, p));
    const us = grown.map((t) => t.u);
    const vs = grown.map((t) => t.v);
    const c0 = Math.max(0, Math.floor((Math.min(...us) - g.u0) / g.du));
    const c1 = Math.min(g.columns - 1, Math.ceil((Math.max(...us) - g.u0) / g.du));
    const r0 = Math.max(0, Math.floor((Math.min(...vs) - g.v0) / g.dv));
    const r1 = Math.min(g.rows - 1, Math.ceil((Math.max(...vs) - g.v0) / g.dv));
    for (let r = r0; r <= r1; r++) {
      for (let c = c0; c <= c1; c++) {
        // A cell is wide: it is left out when any of it lies on print.
        const v = g.v0 + r * g.dv;
        const u = g.u0 + c * g.du;
        if (inside(grown, u, v) || inside(grown, u - g.du / 2, v) || inside(grown, u + g.du / 2, v))
          mask[r * g.columns + c] = 1;
      }
    }
  }
  return mask;
}

/** A convex area pushed outwards from its middle by about `marginMm`. */
function grow(area: readonly BoardPoint[], marginMm: number): BoardPoint[] {
  const X = area.reduce((s, p) => s + p.X, 0) / area.length;
  const Y = area.reduce((s, p) => s + p.Y, 0) / area.length;
  return area.map((p) => {
    const length = Math.hypot(p.X - X, p.Y - Y) || 1;
    const s = 1 + (marginMm * Math.SQRT2) / length;
    return { X: X + (p.X - X) * s, Y: Y + (p.Y - Y) * s };
  });
}

/** Even-odd rule. */
function inside(
  polygon: readonly { readonly u: number; readonly v: number }[],
  u: number,
  v: number,
): boolean {
  let odd = false;
  for (let i = 0, j = polygon.length - 1; i < polygon.length; j = i++) {
    const a = polygon[i]!;
    const b = polygon[j]!;
    if (a.v > v !== b.v > v && u < ((b.u - a.u) * (v - a.v)) / (b.v - a.v) + a.u) odd = !odd;
  }
  return odd;
}
