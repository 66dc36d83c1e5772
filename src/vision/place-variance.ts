import { Matrix, solve } from 'ml-matrix';
import type { PlaceVariance } from '../core/board-view.ts';
import type { BoardPoint } from '../core/frames.ts';
import { boardPointOf, photoPointOf } from '../core/geometry/board-projection.ts';
import { CAMERA_PARAMS, type SolvedView } from './solve-view.ts';

/** A rectangle on the board, mm. */
export interface BoardArea {
  readonly left: number;
  readonly right: number;
  readonly bottom: number;
  readonly top: number;
}

/** Places per side at which the exact variance is taken. */
const GRID = 7;

/**
 * Variance of the place that a solved view gives to a photo point, over an area, as the contract's quadratic form.
 * Exact first-order propagation at 7 x 7 places, then a fit of the form to them in relative terms, no term negative.
 * @param part which errors: of finding the points, or of placing the bodies.
 * @param factor all variances are multiplied by it.
 */
export function placeVariance(
  solved: SolvedView,
  part: 'found' | 'placed',
  area: BoardArea,
  factor: number,
): PlaceVariance {
  const cov = part === 'found' ? solved.foundCov : solved.placedCov;
  const samples: { at: BoardPoint; x: number; y: number }[] = [];
  for (let i = 0; i < GRID; i++) {
    for (let j = 0; j < GRID; j++) {
      const at = {
        X: area.left + ((area.right - area.left) * i) / (GRID - 1),
        Y: area.bottom + ((area.top - area.bottom) * j) / (GRID - 1),
      };
      const v = varianceAt(solved, cov, at);
      if (v !== null) samples.push({ at, x: factor * v.X, y: factor * v.Y });
    }
  }
  // The form's centre: where the variance is least, as a weighted mean.
  const weight = (s: { x: number; y: number }): number => 1 / (s.x + s.y + 1e-12) ** 2;
  const total = samples.reduce((sum, s) => sum + weight(s), 0);
  const centre = {
    X: samples.reduce((sum, s) => sum + weight(s) * s.at.X, 0) / total,
    Y: samples.reduce((sum, s) => sum + weight(s) * s.at.Y, 0) / total,
  };
  const fit = (value: (s: { x: number; y: number }) => number): [number, number, number] =>
    fitForm(samples.map((s) => [(s.at.X - centre.X) ** 2, (s.at.Y - centre.Y) ** 2, value(s)]));
  return { centre, xVarMm2: fit((s) => s.x), yVarMm2: fit((s) => s.y) };
}

/** Variances of X and Y, mm², of the board place of the photo point that shows `at`; null where it shows none. */
export function varianceAt(
  solved: SolvedView,
  cov: readonly (readonly number[])[],
  at: BoardPoint,
): { readonly X: number; readonly Y: number } | null {
  const seen = photoPointOf(solved.view, at);
  const jX: number[] = [];
  const jY: number[] = [];
  for (let k = 0; k < CAMERA_PARAMS; k++) {
    const h = 1e-3 * Math.sqrt(Math.max(solved.covariance[k]![k]!, 1e-20));
    const up = boardPointOf(solved.viewAt(solved.params.with(k, solved.params[k]! + h)), seen);
    const down = boardPointOf(solved.viewAt(solved.params.with(k, solved.params[k]! - h)), seen);
    jX.push((up.X - down.X) / (2 * h));
    jY.push((up.Y - down.Y) / (2 * h));
  }
  const form = (j: readonly number[]): number =>
    j.reduce((s, a, i) => s + a * j.reduce((t, b, m) => t + cov[i]![m]! * b, 0), 0);
  const X = form(jX);
  const Y = form(jY);
  return Number.isFinite(X) && Number.isFinite(Y) ? { X, Y } : null;
}

/** Relative least squares of v = c0 + c1 p + c2 q; negative terms are left out one after another. */
function fitForm(rows: readonly (readonly [number, number, number])[]): [number, number, number] {
  let keep = [0, 1, 2];
  for (;;) {
    const a = new Matrix(
      rows.map(([p, q, v]) => {
        const all = [1 / v, p / v, q / v];
        return keep.map((k) => all[k]!);
      }),
    );
    const c = solve(a, Matrix.columnVector(rows.map(() => 1)), true).to1DArray();
    const worst = c.indexOf(Math.min(...c));
    if (c[worst]! >= 0 || keep.length === 1) {
      const out: [number, number, number] = [0, 0, 0];
      keep.forEach((k, i) => {
        out[k] = Math.max(c[i]!, 0);
      });
      return out;
    }
    // A minimum that is not flat may give a constant below zero; the other terms stay.
    keep = keep.filter((_, i) => i !== worst);
  }
}
