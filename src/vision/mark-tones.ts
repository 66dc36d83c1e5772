import { applyHomography } from '../core/geometry/homography.ts';
import type { PrintPair } from '../core/photometry/contrast-fit.ts';
import { linearTable } from '../core/photometry/transfer-curve.ts';
import type { Raster } from '../core/raster.ts';
import type { FoundMark } from './find-marks.ts';
import { FIELD_CELLS, fieldOf } from './mark-codes.ts';
import { MARK_CELLS } from './mark-design.ts';
import { markHomography } from './read-field.ts';

/** A cell must be this many pixels wide, so that its middle is free of its neighbours' blur. */
const LEAST_CELL_PX = 5;
/** Blur and the rounding to whole pixels reach this far into a cell, px. */
const CLEAR_PX = 2.2;

/**
 * White and black of each mark's print where they stand side by side, from the green channel decoded as plain sRGB.
 * Light that changes over the mark is taken out: the log of all cells is fitted as a plane, plus one step for black.
 *
 * @returns one pair per mark that is large enough and unclipped; fewer pairs than marks is usual.
 */
export function markTones(raster: Raster, marks: readonly FoundMark[]): readonly PrintPair[] {
  const pairs: PrintPair[] = [];
  for (const mark of marks) {
    if (mark.mirrored || sideOf(mark) / MARK_CELLS < LEAST_CELL_PX) continue;
    const pair = toneOf(raster, mark);
    if (pair !== null) pairs.push(pair);
  }
  return pairs;
}

function toneOf(raster: Raster, mark: FoundMark): PrintPair | null {
  const toPhoto = markHomography(mark.corners);
  if (toPhoto === null) return null;
  const field = fieldOf(mark.identity);
  const table = linearTable(raster.maxLevel);
  // The middle of a cell, clear of its neighbours' blur on every side.
  const reach = Math.max(0, Math.floor(sideOf(mark) / MARK_CELLS / 2 - CLEAR_PX));
  // Normal equations of log light = a + b x + c y + d black.
  const n = new Float64Array(16);
  const rhs = new Float64Array(4);
  let worst = 0;
  const cells: { row: readonly [number, number, number, number]; log: number }[] = [];
  for (let y = 0; y < MARK_CELLS; y++) {
    for (let x = 0; x < MARK_CELLS; x++) {
      const inField = x >= 1 && y >= 1 && x <= FIELD_CELLS && y <= FIELD_CELLS;
      const white = inField && field[(y - 1) * FIELD_CELLS + (x - 1)] === 1;
      const at = applyHomography(toPhoto, { X: x + 0.5, Y: y + 0.5 });
      const light = meanGreen(raster, table, at.x, at.y, reach);
      if (light === null) return null;
      worst = Math.max(worst, light);
      if (light <= 0) return null;
      const row = [1, (x - 3.5) / 4, (y - 3.5) / 4, white ? 0 : 1] as const;
      cells.push({ row, log: Math.log(light) });
    }
  }
  if (worst > 0.97) return null;
  for (const { row, log } of cells) {
    for (let i = 0; i < 4; i++) {
      rhs[i] = rhs[i]! + row[i]! * log;
      for (let j = 0; j < 4; j++) n[i * 4 + j] = n[i * 4 + j]! + row[i]! * row[j]!;
    }
  }
  const solved = solve4(n, rhs);
  if (solved === null) return null;
  const spread = Math.sqrt(
    cells.reduce((s, c) => s + (c.log - c.row.reduce((t, r, i) => t + r * solved[i]!, 0)) ** 2, 0) /
      (cells.length - 4),
  );
  const white = Math.exp(solved[0]!);
  return { white, black: white * Math.exp(solved[3]!), u: (2 * spread) / Math.sqrt(cells.length) };
}

/**
 * Mean linear light of a photo's green channel, from every 16th pixel each way: what the lens makes a veil of.
 * @returns 0 to 1, decoded as plain sRGB.
 */
export function meanLightOf(raster: Raster): number {
  const table = linearTable(raster.maxLevel);
  let sum = 0;
  let n = 0;
  for (let y = 8; y < raster.height; y += 16) {
    for (let x = 8; x < raster.width; x += 16) {
      sum += table[raster.data[(y * raster.width + x) * raster.channels + 1]!]!;
      n++;
    }
  }
  return n === 0 ? 0 : sum / n;
}

/** Mean linear green of a small square of pixels; null outside the photo. */
function meanGreen(raster: Raster, table: Float32Array, x: number, y: number, reach: number): number | null {
  const cx = Math.round(x);
  const cy = Math.round(y);
  if (cx < reach || cy < reach || cx + reach >= raster.width || cy + reach >= raster.height) return null;
  let sum = 0;
  for (let j = -reach; j <= reach; j++)
    for (let i = -reach; i <= reach; i++)
      sum += table[raster.data[((cy + j) * raster.width + cx + i) * raster.channels + 1]!]!;
  return sum / (2 * reach + 1) ** 2;
}

/** Shortest side of the mark in the photo, px. */
function sideOf(mark: FoundMark): number {
  const c = mark.corners;
  return Math.min(...c.map((p, i) => Math.hypot(c[(i + 1) % 4]!.x - p.x, c[(i + 1) % 4]!.y - p.y)));
}

/** Gaussian elimination for the four unknowns; null when singular. */
function solve4(n: Float64Array, rhs: Float64Array): number[] | null {
  for (let k = 0; k < 4; k++) {
    const d = n[k * 4 + k]!;
    // The matrix is symmetric and positive: no pivoting is needed unless it is singular.
    if (!(Math.abs(d) > 1e-9)) return null;
    for (let i = k + 1; i < 4; i++) {
      const f = n[i * 4 + k]! / d;
      for (let j = k; j < 4; j++) n[i * 4 + j] = n[i * 4 + j]! - f * n[k * 4 + j]!;
      rhs[i] = rhs[i]! - f * rhs[k]!;
    }
  }
  const x = [0, 0, 0, 0];
  for (let i = 3; i >= 0; i--) {
    let v = rhs[i]!;
    for (let j = i + 1; j < 4; j++) v -= n[i * 4 + j]! * x[j]!;
    x[i] = v / n[i * 4 + i]!;
  }
  return x;
}
