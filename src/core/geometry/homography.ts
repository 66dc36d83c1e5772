import { Matrix, SingularValueDecomposition } from 'ml-matrix';
import { InputError } from '../errors.ts';
import type { BoardPoint, PhotoPoint } from '../frames.ts';

/** 3 x 3, row after row, last element 1 unless it vanishes: (x, y, 1) ~ h (X, Y, 1). */
export type Homography = readonly number[];

/**
 * The homography that best takes board points to photo points: normalised direct linear transform, an algebraic
 * least squares. Exact for exact points; with noise use it as the start of a geometric fit.
 *
 * @param board n points, mm, n at least 4. @param photo n points, px. @param weights n weights, 0 leaves a pair out.
 * @returns the homography, or null when the points do not fix one (three of four in a line, or all alike).
 * @throws InputError when the counts differ or are below 4.
 * @see Hartley and Zisserman, Multiple View Geometry, 2nd ed., algorithm 4.2 (from memory).
 */
export function fitHomography(
  board: readonly BoardPoint[],
  photo: readonly PhotoPoint[],
  weights?: readonly number[],
): Homography | null {
  if (board.length !== photo.length) {
    throw new InputError('photo points', `as many as the ${board.length} board points`, photo.length);
  }
  if (board.length < 4) throw new InputError('board points', 'at least 4', board.length);
  const counts = (_: unknown, i: number): boolean => weights === undefined || weights[i]! > 0;
  const from = normaliser(board.filter(counts).map((p) => [p.X, p.Y]));
  const to = normaliser(photo.filter(counts).map((p) => [p.x, p.y]));
  if (from === null || to === null) return null;
  // The 9 x 9 normal matrix keeps the cost the same for 4 points and for 400.
  const normal = Matrix.zeros(9, 9);
  for (let i = 0; i < board.length; i++) {
    const w = weights?.[i] ?? 1;
    const X = (board[i]!.X - from.cx) * from.scale;
    const Y = (board[i]!.Y - from.cy) * from.scale;
    const x = (photo[i]!.x - to.cx) * to.scale;
    const y = (photo[i]!.y - to.cy) * to.scale;
    addOuter(normal, [X, Y, 1, 0, 0, 0, -x * X, -x * Y, -x], w * w);
    addOuter(normal, [0, 0, 0, X, Y, 1, -y * X, -y * Y, -y], w * w);
  }
  const svd = new SingularValueDecomposition(normal, { computeLeftSingularVectors: false });
  const s = svd.diagonal;
  // Squared singular values: a second vanishing one means that a whole family of homographies fits.
  if (s[7]! < 1e-13 * s[0]!) return null;
  const g = svd.rightSingularVectors.getColumn(8);
  return unnormalise(g, from, to);
}

/** Takes a point through a homography. @returns not finite on the line that goes to infinity. */
export function applyHomography(h: Homography, p: BoardPoint): PhotoPoint {
  const w = h[6]! * p.X + h[7]! * p.Y + h[8]!;
  return {
    x: (h[0]! * p.X + h[1]! * p.Y + h[2]!) / w,
    y: (h[3]! * p.X + h[4]! * p.Y + h[5]!) / w,
  };
}

/**
 * How the photo point moves with the board point: the 2 x 2 derivative, row after row, px per mm.
 * Its determinant is negative for every view from the vehicle's side (Y goes up, y goes down).
 */
export function homographyJacobian(h: Homography, p: BoardPoint): readonly [number, number, number, number] {
  const w = h[6]! * p.X + h[7]! * p.Y + h[8]!;
  const { x, y } = applyHomography(h, p);
  return [(h[0]! - h[6]! * x) / w, (h[1]! - h[7]! * x) / w, (h[3]! - h[6]! * y) / w, (h[4]! - h[7]! * y) / w];
}

/**
 * The homography the other way round, scaled so that its last element is 1 when it does not vanish.
 * @throws InputError when the homography squashes the plane into a line.
 */
export function invertHomography(m: Homography): Homography {
  const [a, b, c, d, e, f, g, h, i] = m as readonly [
    number,
    number,
    number,
    number,
    number,
    number,
    number,
    number,
    number,
  ];
  const det = a * (e * i - f * h) - b * (d * i - f * g) + c * (d * h - e * g);
  if (det === 0 || !Number.isFinite(det)) throw new InputError('homography', 'one that can be undone', m);
  return scaled([
    e * i - f * h,
    c * h - b * i,
    b * f - c * e,
    f * g - d * i,
    a * i - c * g,
    c * d - a * f,
    d * h - e * g,
    b * g - a * h,
    a * e - b * d,
  ]);
}

/** Product of two homographies: first `b`, then `a`. */
export function composeHomography(a: Homography, b: Homography): Homography {
  const out: number[] = [];
  for (let r = 0; r < 3; r++) {
    for (let c = 0; c < 3; c++) {
      out.push(a[3 * r]! * b[c]! + a[3 * r + 1]! * b[3 + c]! + a[3 * r + 2]! * b[6 + c]!);
    }
  }
  return scaled(out);
}

function scaled(h: readonly number[]): Homography {
  const size = Math.hypot(...h);
  const last = h[8]!;
  return Math.abs(last) > 1e-12 * size ? h.map((v) => v / last) : h;
}

interface Normaliser {
  readonly cx: number;
  readonly cy: number;
  readonly scale: number;
}

/** Centre at the mean, mean distance root 2: without it the linear system is badly conditioned. */
function normaliser(points: readonly (readonly [number, number])[]): Normaliser | null {
  const n = points.length;
  const cx = points.reduce((s, p) => s + p[0], 0) / n;
  const cy = points.reduce((s, p) => s + p[1], 0) / n;
  const mean = points.reduce((s, p) => s + Math.hypot(p[0] - cx, p[1] - cy), 0) / n;
  return mean > 0 && Number.isFinite(mean) ? { cx, cy, scale: Math.SQRT2 / mean } : null;
}

function addOuter(into: Matrix, row: readonly number[], weight: number): void {
  for (let r = 0; r < 9; r++) {
    for (let c = 0; c < 9; c++) into.set(r, c, into.get(r, c) + weight * row[r]! * row[c]!);
  }
}

function unnormalise(g: readonly number[], from: Normaliser, to: Normaliser): Homography {
  const forward = [from.scale, 0, -from.scale * from.cx, 0, from.scale, -from.scale * from.cy, 0, 0, 1];
  const back = [1 / to.scale, 0, to.cx, 0, 1 / to.scale, to.cy, 0, 0, 1];
  return composeHomography(back, composeHomography(g, forward));
}
