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
/** Variation of a patch worth following, share of its mean light, rms: about five levels in the middle. */
const LEAST_TEXTURE = 0.02;
/** Patches darker than this hold more noise than texture, share of full scale. */
const LEAST_LIGHT = 0.0015;
/** Contrast of a patch in the other photo over its own: veils take some, slanting light adds some. */
const LEAST_KEPT = 0.2;
const MOST_KEPT = 5;
/** Neighbouring cells share resampling, denoising and JPEG blocks: their residuals count for about a quarter. */
const SHARED_NOISE = 4;
/** Cells further than the patch's end that are held of the second photo. */
const MARGIN = 3;
const SIDE = 2 * REACH + 1;

/**
 * Finds the squares of one photo in another, coarse to fine; at each level the whole picture's movement leads the next.
 * Light may differ: over a square, it may differ by a factor and a plane.
 *
 * @param card made of the first photo. @param raster the second, of the same size.
 * @param start the movement as known so far (from marks), or null.
 * @see Lucas and Kanade's least-squares registration, with contrast and a plane left free.
 */
export function findTextureMoves(
  card: TextureCard,
  raster: Raster,
  photo: PhotoSize,
  start: Movement | null,
): TextureMoves {
  const source = photoSource(raster);
  let lead: Movement | null = start;
  let best: TextureMoves | null = null;
  let seen = 0;
  card.steps.forEach((step, level) => {
    const moves: SeenMove[] = [];
    let here = 0;
    for (const patch of card.patches) {
      const guess = lead === null ? { x: 0, y: 0 } : movementAt(lead, patch.at);
      const about = { x: Math.round(patch.at.x + guess.x), y: Math.round(patch.at.y + guess.y) };
      const cells = cellsAbout(source, about, step, REACH + MARGIN);
      const rest = {
        x: (patch.at.x + guess.x - about.x) / step,
        y: (patch.at.y + guess.y - about.y) / step,
      };
      const fit = followPatch(patch, level, cells, rest);
      if (fit.textured) here++;
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
    seen = Math.max(seen, here);
    // Where grain drowns the finest level the one before it stands, as surely as its own scatter says.
    const together = moves.length < LEAST_PLACES ? null : agreeing(moves, photo);
    if (together?.found) {
      best = together;
      lead = fitMovement(together.moves, photo);
    }
  });
  return best ?? { found: false, why: seen < 2 * LEAST_PLACES ? 'nothing-common' : 'no-fit' };
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

/** One step of the fit: first(p) (1 - k) + a + b px + c py = second(p + shift); k lets the dark lose contrast. */
function stepOf(first: Float32Array, second: Float32Array, x: number, y: number): PatchFit | null {
  let n = 0;
  const one = meanOf(first);
  const other = meanOf(second);
  if (!(one > LEAST_LIGHT && other > LEAST_LIGHT)) return null;
  for (let j = 1; j < SIDE - 1; j++) {
    for (let i = 1; i < SIDE - 1; i++) {
      const k = j * SIDE + i;
      const gx = (first[k + 1]! - first[k - 1]!) / (2 * one);
      const gy = (first[k + SIDE]! - first[k - SIDE]!) / (2 * one);
      const there = cubicAt(second, SIDE + 2 * MARGIN, i + MARGIN + x, j + MARGIN + y) / other;
      if (!Number.isFinite(gx + gy + first[k]! + there)) continue;
      const o = n++ * FIELDS;
      room[o] = gx;
      room[o + 1] = gy;
      room[o + 2] = (i - REACH) / REACH;
      room[o + 3] = (j - REACH) / REACH;
      room[o + 4] = first[k]! / one - there;
      room[o + 5] = first[k]! / one;
    }
  }
  if (n < 0.3 * SIDE * SIDE) return null;
  // With the plane taken out of all columns only two shifts and the contrast are left to solve for.
  takePlaneOut(n);
  const normal = Matrix.eye(3, 3, 1e-4);
  const right = [0, 0, 0];
  let all = 0;
  for (let o = 0; o < n * FIELDS; o += FIELDS) {
    const row = [room[o]!, room[o + 1]!, room[o + 5]!];
    const e = room[o + 4]!;
    for (let a = 0; a < 3; a++) {
      right[a]! += row[a]! * e;
      for (let b = a; b < 3; b++) normal.set(a, b, normal.get(a, b) + row[a]! * row[b]!);
    }
    all += e * e;
  }
  for (let a = 0; a < 3; a++) for (let b = 0; b < a; b++) normal.set(a, b, normal.get(b, a));
  const inverse = solve(normal, Matrix.eye(3, 3));
  const [sx, sy, lost] = inverse.mmul(Matrix.columnVector(right)).to1DArray() as [number, number, number];
  const left = Math.max(0, all - sx * right[0]! - sy * right[1]! - lost * right[2]!);
  const variance = (SHARED_NOISE * left) / (n - 6) + 1e-8;
  const own = normal.get(2, 2);
  const textured = Math.sqrt(own / n) > LEAST_TEXTURE;
  const [vxx, vxy, vyy] = [inverse.get(0, 0), inverse.get(0, 1), inverse.get(1, 1)];
  const det = Math.max(1e-15, vxx * vyy - vxy * vxy);
  const kept = Math.max(0.05, 1 - lost);
  const kept2 = kept * kept;
  return {
    textured,
    found: textured && kept > LEAST_KEPT && kept < MOST_KEPT && left < (1 - LEAST_FIT) * own * kept * kept,
    x: sx / kept,
    y: sy / kept,
    weight: [(kept2 * vyy) / det / variance, (-kept2 * vxy) / det / variance, (kept2 * vxx) / det / variance],
  };
}

/** Mean of the known cells; NaN when there are none. */
function meanOf(cells: Float32Array): number {
  let sum = 0;
  let n = 0;
  for (const e of cells) {
    if (!Number.isFinite(e)) continue;
    sum += e;
    n++;
  }
  return sum / n;
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
