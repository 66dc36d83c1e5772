import type { PhotoPoint } from '../core/frames.ts';
import type { Raster } from '../core/raster.ts';
import type { FoundMark } from './find-marks.ts';
import { type LinearSource, photoSource } from './linear-source.ts';

/** What is kept of a photo to find its movement against another: small squares where something is to be seen. */
export interface TextureCard {
  readonly width: number;
  readonly height: number;
  /** Width of a cell at each level, px, coarse to fine. */
  readonly steps: readonly number[];
  readonly patches: readonly TexturePatch[];
}

export interface TexturePatch {
  readonly at: { readonly x: number; readonly y: number };
  /** For each level, light in (2 REACH + 1)² cells about `at`, row after row; NaN where burnt out or outside. */
  readonly levels: readonly Float32Array[];
}

/** Cells from a patch's middle to its end. */
export const REACH = 8;
/** Added to light before the log: noise in the dark must not look like texture. */
const LIFT = 0.003;
/** Fields in which the best place is looked for, and how many places are kept. */
const FIELDS: readonly [number, number] = [16, 12];
const MOST_PLACES = 48;
/** Of each mark two opposite corners: enough, and the marks' own fit is used where both photos show them. */
const MARK_CORNERS = [0, 2] as const;

/** Squares of a photo where light changes most, and those about its marks; pixels may be let go afterwards. */
export function makeTextureCard(raster: Raster, marks: readonly FoundMark[]): TextureCard {
  const { width, height } = raster;
  const source = photoSource(raster);
  const steps = stepsFor(width, height);
  const places = [
    ...marks.flatMap((m) => MARK_CORNERS.map((i) => m.corners[i]!)),
    ...texturedPlaces(source),
  ].map((p) => ({ x: Math.round(p.x), y: Math.round(p.y) }));
  return {
    width,
    height,
    steps,
    patches: places.map((at) => ({ at, levels: steps.map((s) => cellsAbout(source, at, s, REACH)) })),
  };
}

/** Cell widths: the coarsest follows a movement of one in a hundred of the diagonal. */
function stepsFor(width: number, height: number): number[] {
  const steps = [1];
  while (steps[0]! * 300 < Math.hypot(width, height)) steps.unshift(steps[0]! * 2);
  return steps;
}

/**
 * Linear light in square cells about a pixel: a blurred step keeps its place there whatever the contrast, and not in logs.
 * @param step cell width, px. @returns (2 reach + 1)² values, row after row; NaN where a pixel is burnt out or missing.
 */
export function cellsAbout(source: LinearSource, at: PhotoPoint, step: number, reach: number): Float32Array {
  const side = 2 * reach + 1;
  const out = new Float32Array(side * side);
  const x0 = at.x - reach * step - (step >> 1);
  const y0 = at.y - reach * step - (step >> 1);
  for (let j = 0; j < side; j++)
    for (let i = 0; i < side; i++) out[j * side + i] = cellLight(source, x0 + i * step, y0 + j * step, step);
  return out;
}

function cellLight(source: LinearSource, x0: number, y0: number, step: number): number {
  if (x0 < 0 || y0 < 0 || x0 + step > source.width || y0 + step > source.height) return Number.NaN;
  let sum = 0;
  // Wide cells need no more than 16 of their pixels.
  const hop = Math.max(1, step >> 2);
  let n = 0;
  for (let y = y0; y < y0 + step; y += hop) {
    for (let x = x0; x < x0 + step; x += hop) {
      if (source.clipped(x, y)) return Number.NaN;
      sum += source.linear(x, y);
      n++;
    }
  }
  return sum / n;
}

/** In each field of the photo the place where light changes most; the best of all fields. */
function texturedPlaces(source: LinearSource): PhotoPoint[] {
  const step = Math.max(2, Math.round(Math.hypot(source.width, source.height) / 400));
  const columns = Math.floor(source.width / step);
  const rows = Math.floor(source.height / step);
  const logs = new Float32Array(columns * rows);
  for (let r = 0; r < rows; r++)
    for (let c = 0; c < columns; c++)
      logs[r * columns + c] = Math.log(cellLight(source, c * step, r * step, step) + LIFT);
  const best = new Map<number, { at: PhotoPoint; energy: number }>();
  for (let r = 3; r < rows - 3; r += 2) {
    for (let c = 3; c < columns - 3; c += 2) {
      const energy = energyAt(logs, columns, r, c);
      if (!(energy > 0)) continue;
      const field = Math.floor((c * FIELDS[0]) / columns) + FIELDS[0] * Math.floor((r * FIELDS[1]) / rows);
      if (energy > (best.get(field)?.energy ?? 0))
        best.set(field, { at: { x: (c + 0.5) * step, y: (r + 0.5) * step }, energy });
    }
  }
  return [...best.values()]
    .sort((a, b) => b.energy - a.energy)
    .slice(0, MOST_PLACES)
    .map((b) => b.at);
}

/** Sum of squared second differences along both axes: bends, not slopes, tell a place. */
function energyAt(logs: Float32Array, columns: number, r: number, c: number): number {
  let sum = 0;
  for (let y = r - 2; y <= r + 2; y++) {
    for (let x = c - 2; x <= c + 2; x++) {
      const k = y * columns + x;
      const here = logs[k]!;
      const across = logs[k - 1]! + logs[k + 1]! - 2 * here;
      const upwards = logs[k - columns]! + logs[k + columns]! - 2 * here;
      sum += across * across + upwards * upwards;
    }
  }
  return sum;
}
