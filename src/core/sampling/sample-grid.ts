import type { Registration } from '../board-view.ts';
import type { BoardPoint } from '../frames.ts';
import { boardPointOf, photoPointOf } from '../geometry/board-projection.ts';
import { boardPointAt, tangentOf } from '../geometry/lamp-tangents.ts';
import type { LampView } from '../lamp-view.ts';
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
  const at = (u: number, v: number) => photoPointOf(registration.view, boardPointAt(lamp, { u, v }));

  // The photo's pixels per cell, at the grid's middle, choose how many samples a cell needs.
  const midU = u0 + (spec.du * columns) / 2;
  const midV = v0 + (spec.dv * rows) / 2;
  const m = at(midU, midV);
  const right = at(midU + spec.du, midV);
  const up = at(midU, midV + spec.dv);
  const pxWide = Math.hypot(right.x - m.x, right.y - m.y);
  const pxHigh = Math.hypot(up.x - m.x, up.y - m.y);
  const nu = Math.min(12, Math.max(1, Math.round(pxWide / 1.25)));
  const nv = Math.min(8, Math.max(1, Math.round(pxHigh)));

  const print = printMask(registration.printedAreas, lamp, {
    columns,
    rows,
    u0,
    v0,
    du: spec.du,
    dv: spec.dv,
  });
  const { width, height, channels, data } = raster;
  const table = linearTable(raster.maxLevel);
  const clipLevel = Math.floor(raster.maxLevel * 0.988);
  const off = options.lampsOff ?? null;
  const offTable = off ? linearTable(off.maxLevel) : table;
  const { red: wr, green: wg, blue: wb } = LUMINANCE_WEIGHTS;
  const xs = new Float64Array(nu * nv);
  const ys = new Float64Array(nu * nv);
  const count = nu * nv;

  for (let r = 0; r < rows; r++) {
    for (let c = 0; c < columns; c++) {
      const index = r * columns + c;
      if (print[index]) continue;
      const u = u0 + c * spec.du;
      const v = v0 + r * spec.dv;
      // One exact projection per cell; inside a cell the map is straight to far below a pixel.
      const here = at(u, v);
      if (!(here.x > 1 && here.y > 1 && here.x < width - 2 && here.y < height - 2)) continue;
      const toRight = at(u + spec.du, v);
      const toUp = at(u, v + spec.dv);
      if (extent) {
        const b = boardPointAt(lamp, { u, v });
        if (b.X < extent.left || b.X > extent.right || b.Y < extent.bottom || b.Y > extent.top) continue;
      }
      let n = 0;
      for (let j = 0; j < nv; j++) {
        const fv = (j + 0.5) / nv - 0.5;
        for (let i = 0; i < nu; i++) {
          const fu = (i + 0.5) / nu - 0.5;
          xs[n] = here.x + fu * (toRight.x - here.x) + fv * (toUp.x - here.x);
          ys[n] = here.y + fu * (toRight.y - here.y) + fv * (toUp.y - here.y);
          n++;
        }
      }
      let sum = 0;
      let clips = 0;
      let inside = true;
      for (let k = 0; k < count; k++) {
        const x = xs[k]!;
        const y = ys[k]!;
        if (!(x >= 0 && y >= 0 && x < width - 1 && y < height - 1)) {
          inside = false;
          break;
        }
        const xi = x | 0;
        const yi = y | 0;
        const fx = x - xi;
        const fy = y - yi;
        const a = (yi * width + xi) * channels;
        const b = a + channels;
        const d = a + width * channels;
        const e = d + channels;
        const w00 = (1 - fx) * (1 - fy);
        const w10 = fx * (1 - fy);
        const w01 = (1 - fx) * fy;
        const w11 = fx * fy;
        sum +=
          w00 * (wr * table[data[a]!]! + wg * table[data[a + 1]!]! + wb * table[data[a + 2]!]!) +
          w10 * (wr * table[data[b]!]! + wg * table[data[b + 1]!]! + wb * table[data[b + 2]!]!) +
          w01 * (wr * table[data[d]!]! + wg * table[data[d + 1]!]! + wb * table[data[d + 2]!]!) +
          w11 * (wr * table[data[e]!]! + wg * table[data[e + 1]!]! + wb * table[data[e + 2]!]!);
        if (data[a]! >= clipLevel || data[a + 1]! >= clipLevel || data[a + 2]! >= clipLevel) clips++;
        if (off) {
          const o = (yi * width + xi) * off.channels;
          sum -=
            wr * offTable[off.data[o]!]! +
            wg * offTable[off.data[o + 1]!]! +
            wb * offTable[off.data[o + 2]!]!;
        }
      }
      if (!inside) continue;
      light[index] = sum / count;
      clipped[index] = clips / count;
    }
  }
  return { columns, rows, u0, du: spec.du, v0, dv: spec.dv, light, clipped, pixelsPerCell: pxWide * pxHigh };
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
