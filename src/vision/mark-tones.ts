import { applyHomography } from '../core/geometry/homography.ts';
import type { PrintPair } from '../core/photometry/tone-fit.ts';
import { linearTable } from '../core/photometry/transfer-curve.ts';
import type { Raster } from '../core/raster.ts';
import type { FoundMark } from './find-marks.ts';
import { ladderPairs, levelDoubt } from './grey-ladder.ts';
import { type LightAround, lightAround } from './light-around.ts';
import { FIELD_CELLS, fieldOf } from './mark-codes.ts';
import { BLACK_REFLECTANCE, MARK_CELLS, PAPER_REFLECTANCE } from './mark-design.ts';
import { markHomography } from './read-field.ts';

/** A cell must be this many pixels wide, so that its middle is free of its neighbours' blur. */
const LEAST_CELL_PX = 5;
/** Rounding to whole pixels and blur (in its standard deviations) reach this far into a cell. */
const CLEAR_PX = 0.5;
const CLEAR_BLURS = 2.5;
/** 9 x 9 pixels of each of 64 cells are plenty. */
const MOST_REACH_PX = 4;

/**
 * What a photo shows of its print's tones: white and black of each mark where they stand side by side, and each grey step
 * with the paper beside it, from the green channel decoded as plain sRGB.
 *
 * @returns one pair per mark and step that is large enough and not burnt out; fewer than there are is usual.
 */
export function printPairs(raster: Raster, marks: readonly FoundMark[]): readonly PrintPair[] {
  if (marks.length === 0) return [];
  const around = lightAround(raster);
  const pairs: PrintPair[] = [];
  for (const mark of marks) {
    if (mark.mirrored || sideOf(mark) / MARK_CELLS < LEAST_CELL_PX) continue;
    const pair = toneOf(raster, mark, around);
    if (pair !== null) pairs.push(pair);
  }
  const sheets = new Set(marks.map((m) => m.sheet));
  for (const sheet of sheets) pairs.push(...ladderPairs(raster, marks, sheet, around));
  return pairs;
}

/**
 * Light that changes over the mark is taken out: the log of all cells is fitted as a plane, plus one step for black.
 */
function toneOf(raster: Raster, mark: FoundMark, around: LightAround): PrintPair | null {
  const toPhoto = markHomography(mark.corners);
  if (toPhoto === null) return null;
  const field = fieldOf(mark.identity);
  const table = linearTable(raster.maxLevel);
  // The middle of a cell, clear of its neighbours' blur on every side.
  const reach = Math.min(
    MOST_REACH_PX,
    Math.max(0, Math.floor(sideOf(mark) / MARK_CELLS / 2 - CLEAR_PX - CLEAR_BLURS * mark.blurPx)),
  );
  // Normal equations of log light = a + b x + c y + d black.
  const n = new Float64Array(16);
  const rhs = new Float64Array(4);
  const cells: Cell[] = [];
  for (let y = 0; y < MARK_CELLS; y++) {
    for (let x = 0; x < MARK_CELLS; x++) {
      const inField = x >= 1 && y >= 1 && x <= FIELD_CELLS && y <= FIELD_CELLS;
      const white = inField && field[(y - 1) * FIELD_CELLS + (x - 1)] === 1;
      const at = applyHomography(toPhoto, { X: x + 0.5, Y: y + 0.5 });
      const light = meanGreen(raster, table, at.x, at.y, reach);
      if (light === null || !(light.mean > 0) || light.mean > 0.97) return null;
      cells.push({ row: [1, (x - 3.5) / 4, (y - 3.5) / 4, white ? 0 : 1], ...light });
    }
  }
  for (const { row, mean } of cells) {
    for (let i = 0; i < 4; i++) {
      rhs[i] = rhs[i]! + row[i]! * Math.log(mean);
      for (let j = 0; j < 4; j++) n[i * 4 + j] = n[i * 4 + j]! + row[i]! * row[j]!;
    }
  }
  const solved = solve4(n, rhs);
  if (solved === null) return null;
  const [, b, c] = solved as [number, number, number, number];
  // The logs gave how light falls off; levels are plain means, which noise does not pull down as it does logs.
  const light = (black: 0 | 1) => {
    const own = cells.filter(({ row }) => row[3] === black);
    const shade = own.map(({ row }) => Math.exp(b * row[1] + c * row[2]));
    const level = own.reduce((s, cell) => s + cell.mean, 0) / shade.reduce((s, e) => s + e, 0);
    const misfit = own.reduce((s, cell, i) => s + (cell.mean / (level * shade[i]!) - 1) ** 2, 0);
    const squares = own.reduce((s, cell) => s + cell.square, 0) / own.length;
    const means = own.reduce((s, cell) => s + cell.mean ** 2, 0) / own.length;
    return { level, u: Math.sqrt(misfit) / own.length, grain: Math.sqrt(Math.max(0, squares / means - 1)) };
  };
  const white = light(0);
  const dark = light(1);
  const middle = applyHomography(toPhoto, { X: MARK_CELLS / 2, Y: MARK_CELLS / 2 });
  return {
    white: white.level,
    dark: dark.level,
    u: Math.hypot(1.4 * white.u, 1.4 * dark.u, levelDoubt(dark.level, dark.grain)),
    reflectance: BLACK_REFLECTANCE / PAPER_REFLECTANCE,
    around: around(middle.x, middle.y),
  };
}

interface Cell {
  /** Of log light = a + b x + c y + d black. */
  readonly row: readonly [number, number, number, 0 | 1];
  /** Means of linear light and of its square over the cell's middle. */
  readonly mean: number;
  readonly square: number;
}

/** Linear green of a small square of pixels; null outside the photo. */
function meanGreen(
  raster: Raster,
  table: Float32Array,
  x: number,
  y: number,
  reach: number,
): Pick<Cell, 'mean' | 'square'> | null {
  const cx = Math.round(x);
  const cy = Math.round(y);
  if (cx < reach || cy < reach || cx + reach >= raster.width || cy + reach >= raster.height) return null;
  let sum = 0;
  let squares = 0;
  for (let j = -reach; j <= reach; j++) {
    for (let i = -reach; i <= reach; i++) {
      const green = table[raster.data[((cy + j) * raster.width + cx + i) * raster.channels + 1]!]!;
      sum += green;
      squares += green * green;
    }
  }
  const n = (2 * reach + 1) ** 2;
  return { mean: sum / n, square: squares / n };
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
