import { Matrix, solve } from 'ml-matrix';
import type { PhotoPoint } from '../core/frames.ts';
import { applyHomography } from '../core/geometry/homography.ts';
import type { Raster } from '../core/raster.ts';
import { photoSource } from './linear-source.ts';
import { fitMovement, type Movement, type SeenMove } from './movement-fit.ts';
import type { PhotoSize } from './solve-view.ts';
import { cellsAbout, REACH, type TextureCard, type TexturePatch } from './texture-card.ts';

/** Where the texture of one photo lies in another. */
export type TextureMoves =
  | { readonly found: true; readonly moves: readonly SeenMove[] }
  /** 'nothing-common': the second photo is dark, burnt out or lit otherwise there. 'no-fit': it shows much, elsewhere. */
  | { readonly found: false; readonly why: 'nothing-common' | 'no-fit' };

/** Places that must agree before texture is believed. */
const LEAST_PLACES = 4;
/** Share of a patch's variation that the other photo's must explain. */
const LEAST_FIT = 0.6;
/** Variation of a patch worth following, ln of light, rms: about five levels in the middle. */
const LEAST_TEXTURE = 0.02;
/** Neighbouring cells share resampling, denoising and JPEG blocks: their residuals count for about a quarter. */
const SHARED_NOISE = 4;
/** Cells further than the patch's end that are held of the second photo. */
const MARGIN = 3;
const SIDE = 2 * REACH + 1;

/**
 * Finds the squares of one photo in another, coarse to fine; at each level the whole picture's movement leads the next.
 * Light may differ: over a square, its log may differ by a plane.
 *
 * @param card made of the first photo. @param raster the second, of the same size.
 * @param start the movement as known so far (from marks), or null.
 * @see Lucas and Kanade's least-squares registration, on log light with a plane left free.
 */
export function findTextureMoves(
  card: TextureCard,
  raster: Raster,
  photo: PhotoSize,
  start: Movement | null,
): TextureMoves {
  const source = photoSource(raster);
  let lead: Movement | null = start;
  let moves: SeenMove[] = [];
  let seen = 0;
  card.steps.forEach((step, level) => {
    seen = 0;
    moves = [];
    for (const patch of card.patches) {
      const guess = lead === null ? { x: 0, y: 0 } : movementAt(lead, patch.at);
      const about = { x: Math.round(patch.at.x + guess.x), y: Math.round(patch.at.y + guess.y) };
      const cells = cellsAbout(source, about, step, REACH + MARGIN);
      const rest = {
        x: (patch.at.x + guess.x - about.x) / step,
        y: (patch.at.y + guess.y - about.y) / step,
      };
      const fit = followPatch(patch, level, cells, rest);
      if (fit.textured) seen++;
      if (!fit.found) continue;
      const scale = 1 / (step * step);
      moves.push({
        at: patch.at,
        dx: about.x - patch.at.x + fit.x * step,
        dy: about.y - patch.at.y + fit.y * step,
        weight: [fit.weight[0] * scale, fit.weight[1] * scale, fit.weight[2] * scale],
        doubtful: true,
      });
    }
    // A level at which too little is seen leaves the lead as it was: the next finer one may see more.
    if (moves.length >= LEAST_PLACES) lead = fitMovement(moves, photo);
  });
  if (moves.length < LEAST_PLACES)
    return { found: false, why: seen < 2 * LEAST_PLACES ? 'nothing-common' : 'no-fit' };
  return agreeing(moves, photo);
}

/** Places that go with the common movement, their weights as their own scatter about it allows. */
function agreeing(moves: readonly SeenMove[], photo: PhotoSize): TextureMoves {
  const { misfits } = fitMovement(moves, photo);
  const good = moves.filter((_, k) => misfits[k]! < 8);
  if (good.length < LEAST_PLACES || good.length * 2 < moves.length) return { found: false, why: 'no-fit' };
  const scatter = fitMovement(good, photo).misfits;
  const square = scatter.reduce((s, z) => s + z * z, 0) / Math.max(1, 2 * good.length - 4);
  const f = 1 / Math.max(1, square);
  return {
    found: true,
    moves: good.map((m) => ({ ...m, weight: [m.weight[0] * f, m.weight[1] * f, m.weight[2] * f] })),
  };
}

function movementAt(m: Movement, at: PhotoPoint): PhotoPoint {
  const to = applyHomography(m.homography, { X: at.x, Y: at.y });
  return { x: to.x - at.x, y: to.y - at.y };
}

interface PatchFit {
  readonly textured: boolean;
  readonly found: boolean;
  /** Shift in cells, and the inverse of its covariance. */
  readonly x: number;
  readonly y: number;
  readonly weight: readonly [number, number, number];
}

const LOST: PatchFit = { textured: false, found: false, x: 0, y: 0, weight: [0, 0, 0] };

function followPatch(patch: TexturePatch, level: number, cells: Float32Array, start: PhotoPoint): PatchFit {
  const first = patch.levels[level]!;
  let { x, y } = start;
  let fit = LOST;
  for (let round = 0; round < 6; round++) {
    const one = stepOf(first, cells, x, y);
    if (one === null) return fit.textured ? { ...fit, found: false } : LOST;
    x += one.x;
    y += one.y;
    fit = { ...one, x, y };
    if (Math.hypot(x - start.x, y - start.y) > REACH / 2) return { ...fit, found: false };
    if (Math.hypot(one.x, one.y) < 0.003) break;
  }
  return fit;
}

/** Room for one patch's cells: gx, gy, px, py, first less second, first. */
const FIELDS = 6;
const room = new Float64Array(SIDE * SIDE * FIELDS);

/** One step of the fit: first(p) + a + b px + c py = second(p + shift). */
function stepOf(first: Float32Array, second: Float32Array, x: number, y: number): PatchFit | null {
  let n = 0;
  for (let j = 1; j < SIDE - 1; j++) {
    for (let i = 1; i < SIDE - 1; i++) {
      const k = j * SIDE + i;
      const gx = (first[k + 1]! - first[k - 1]!) / 2;
      const gy = (first[k + SIDE]! - first[k - SIDE]!) / 2;
      const there = cubicAt(second, SIDE + 2 * MARGIN, i + MARGIN + x, j + MARGIN + y);
      if (!Number.isFinite(gx + gy + first[k]! + there)) continue;
      const o = n++ * FIELDS;
      room[o] = gx;
      room[o + 1] = gy;
      room[o + 2] = (i - REACH) / REACH;
      room[o + 3] = (j - REACH) / REACH;
      room[o + 4] = first[k]! - there;
      room[o + 5] = first[k]!;
    }
  }
  if (n < 0.3 * SIDE * SIDE) return null;
  // With the plane taken out of all columns only the two shifts are left to solve for.
  takePlaneOut(n);
  let [xx, xy, yy, ex, ey, own, all] = [1e-4, 0, 1e-4, 0, 0, 0, 0];
  for (let o = 0; o < n * FIELDS; o += FIELDS) {
    const gx = room[o]!;
    const gy = room[o + 1]!;
    const e = room[o + 4]!;
    xx += gx * gx;
    xy += gx * gy;
    yy += gy * gy;
    ex += gx * e;
    ey += gy * e;
    all += e * e;
    own += room[o + 5]! ** 2;
  }
  const det = xx * yy - xy * xy;
  if (!(det > 0)) return null;
  const sx = (yy * ex - xy * ey) / det;
  const sy = (xx * ey - xy * ex) / det;
  const left = Math.max(0, all - sx * ex - sy * ey);
  const variance = (SHARED_NOISE * left) / (n - 5) + 1e-8;
  const textured = Math.sqrt(own / n) > LEAST_TEXTURE;
  return {
    textured,
    found: textured && left < (1 - LEAST_FIT) * own,
    x: sx,
    y: sy,
    weight: [xx / variance, xy / variance, yy / variance],
  };
}

/** Takes from the columns gx, gy, difference and first what a plane in px, py explains. */
function takePlaneOut(n: number): void {
  const normal = Matrix.zeros(3, 3);
  const columns = [0, 1, 4, 5] as const;
  const right = Matrix.zeros(3, columns.length);
  const one = [1, 0, 0];
  for (let o = 0; o < n * FIELDS; o += FIELDS) {
    one[1] = room[o + 2]!;
    one[2] = room[o + 3]!;
    for (let a = 0; a < 3; a++) {
      for (let b = 0; b < 3; b++) normal.set(a, b, normal.get(a, b) + one[a]! * one[b]!);
      for (let c = 0; c < 4; c++) right.set(a, c, right.get(a, c) + one[a]! * room[o + columns[c]!]!);
    }
  }
  const s = solve(normal, right);
  for (let c = 0; c < 4; c++) {
    const [a, px, py] = [s.get(0, c), s.get(1, c), s.get(2, c)];
    for (let o = 0; o < n * FIELDS; o += FIELDS)
      room[o + columns[c]!]! -= a + px * room[o + 2]! + py * room[o + 3]!;
  }
}

/** Catmull-Rom between cells; NaN beside a missing one. */
function cubicAt(cells: Float32Array, side: number, x: number, y: number): number {
  const i = Math.floor(x);
  const j = Math.floor(y);
  if (i < 1 || j < 1 || i > side - 3 || j > side - 3) return Number.NaN;
  const wx = cubicWeights(x - i);
  const wy = cubicWeights(y - j);
  let sum = 0;
  for (let b = 0; b < 4; b++) {
    const k = (j - 1 + b) * side + i - 1;
    sum +=
      wy[b]! * (wx[0] * cells[k]! + wx[1] * cells[k + 1]! + wx[2] * cells[k + 2]! + wx[3] * cells[k + 3]!);
  }
  return sum;
}

function cubicWeights(t: number): [number, number, number, number] {
  const t2 = t * t;
  const t3 = t2 * t;
  return [(-t3 + 2 * t2 - t) / 2, (3 * t3 - 5 * t2 + 2) / 2, (-3 * t3 + 4 * t2 + t) / 2, (t3 - t2) / 2];
}
