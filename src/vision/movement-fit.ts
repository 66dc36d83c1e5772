import { Matrix, solve } from 'ml-matrix';
import type { PhotoPoint } from '../core/frames.ts';
import { composeHomography, type Homography } from '../core/geometry/homography.ts';
import { type PhotoSize, priorFocalPx } from './solve-view.ts';

/** One place seen in both photos. */
export interface SeenMove {
  /** Where it is in the first photo, and how far it went, px. */
  readonly at: PhotoPoint;
  readonly dx: number;
  readonly dy: number;
  /** Inverse of the covariance of (dx, dy), 1/px²: xx, xy, yy. An edge tells only the movement across it. */
  readonly weight: readonly [number, number, number];
  /** Texture may be a shadow or a person: what does not go with the rest loses its say. Marks are never voted down. */
  readonly doubtful: boolean;
}

/** How the whole picture moved: a homography near to none. */
export interface Movement {
  readonly homography: Homography;
  /** Movement at the middle, px; then turn, size and two skews as px at the corner. */
  readonly terms: readonly number[];
  /** Covariance of the terms, px², 6 x 6 row after row. */
  readonly covariance: readonly number[];
  readonly centre: PhotoPoint;
  readonly radiusPx: number;
  /** Largest movement of a picture corner, px. */
  readonly largestPx: number;
  /** Standard uncertainty of the movement at a picture corner, px. */
  readonly uPx: number;
  /** Each place's misfit over its own uncertainty, in the order given. */
  readonly misfits: readonly number[];
  /** Root mean square of what is left over, px. */
  readonly rmsPx: number;
}

/** A nudged tripod turns and zooms little: prior spread of turn (rad) and of relative size. */
const TURN_SPREAD = 0.005;
const SIZE_SPREAD = 0.003;
/** A turned camera also skews the picture; a shoved one does not. Spread round the turned camera's skew, px at the corner. */
const SKEW_SPREAD_PX = 1;
/** No place is known better than this: resampling and JPEG blocks, px. */
const LEAST_U_PX = 0.02;
const HUBER = 2;

/**
 * The movement of a whole picture from places seen in both: shift, turn, size and skew. One place alone gives the shift;
 * the others then stay near a turned camera's by their priors, and the uncertainty says so.
 *
 * @param moves at least one. @param photo size in px and EXIF focal length, the same for both photos.
 * @see Weighted least squares with priors; doubtful places by Huber's weights.
 */
export function fitMovement(moves: readonly SeenMove[], photo: PhotoSize): Movement {
  const cx = (photo.width - 1) / 2;
  const cy = (photo.height - 1) / 2;
  const radius = Math.hypot(cx, cy);
  const rows = (p: PhotoPoint): readonly [readonly number[], readonly number[]] => {
    const X = (p.x - cx) / radius;
    const Y = (p.y - cy) / radius;
    return [
      [1, 0, -Y, X, X * X, X * Y],
      [0, 1, X, Y, X * Y, Y * Y],
    ];
  };
  const say = moves.map(() => 1);
  let terms: readonly number[] = [0, 0, 0, 0, 0, 0];
  let normal = Matrix.zeros(6, 6);
  let left: readonly { readonly dx: number; readonly dy: number; readonly misfit: number }[] = [];
  for (let round = 0; round < (moves.some((m) => m.doubtful) ? 8 : 1); round++) {
    const fit = solveOnce(moves, say, rows, priors(photo, radius));
    terms = fit.terms;
    normal = fit.normal;
    left = moves.map((m) => {
      const [rx, ry] = rows(m.at);
      const dx = m.dx - dot(rx, terms);
      const dy = m.dy - dot(ry, terms);
      const [xx, xy, yy] = floored(m.weight);
      return { dx, dy, misfit: Math.sqrt(Math.max(0, xx * dx * dx + 2 * xy * dx * dy + yy * dy * dy)) };
    });
    moves.forEach((m, k) => {
      if (m.doubtful) say[k] = Math.min(1, HUBER / Math.max(1e-9, left[k]!.misfit)) ** 2;
    });
  }
  const cov = solve(normal, Matrix.eye(6));
  const largestPx = Math.max(
    ...[0, 2 * cx].flatMap((x) =>
      [0, 2 * cy].map((y) => {
        const [rx, ry] = rows({ x, y });
        return Math.hypot(dot(rx, terms), dot(ry, terms));
      }),
    ),
  );
  const sayAll = say.reduce((s, x) => s + x, 0);
  const partial = { terms, covariance: cov.to1DArray(), centre: { x: cx, y: cy }, radiusPx: radius };
  return {
    ...partial,
    homography: homographyOf(terms, cx, cy, radius),
    largestPx,
    uPx: Math.sqrt(movementVariance(partial, { x: 0, y: 0 })),
    misfits: left.map((l) => l.misfit),
    rmsPx: Math.sqrt(
      left.reduce((s, l, k) => s + (say[k]! * (l.dx * l.dx + l.dy * l.dy)) / 2, 0) / Math.max(1e-9, sayAll),
    ),
  };
}

/** Variance of the movement in one direction at a place in the photo, px². */
export function movementVariance(
  m: Pick<Movement, 'covariance' | 'centre' | 'radiusPx'>,
  at: PhotoPoint,
): number {
  const X = (at.x - m.centre.x) / m.radiusPx;
  const Y = (at.y - m.centre.y) / m.radiusPx;
  const both = [
    [1, 0, -Y, X, X * X, X * Y],
    [0, 1, X, Y, X * Y, Y * Y],
  ];
  let sum = 0;
  for (const row of both)
    for (let i = 0; i < 6; i++)
      for (let j = 0; j < 6; j++) sum += row[i]! * row[j]! * m.covariance[6 * i + j]!;
  return sum / 2;
}

/** Variance of the picture's turn (rad²) and of its relative size. */
export function turnAndSizeVariance(m: Movement): { readonly turn: number; readonly size: number } {
  const r2 = m.radiusPx ** 2;
  return { turn: m.covariance[14]! / r2, size: m.covariance[21]! / r2 };
}

interface Prior {
  readonly row: readonly number[];
  readonly u: number;
}

function priors(photo: PhotoSize, radius: number): readonly Prior[] {
  // A camera turned by dx/f sees points at X, Y move by dx (1 + X²) and dx XY, X and Y in focal lengths.
  const skew = (radius / priorFocalPx(photo)) ** 2;
  return [
    { row: [0, 0, 1, 0, 0, 0], u: TURN_SPREAD * radius },
    { row: [0, 0, 0, 1, 0, 0], u: SIZE_SPREAD * radius },
    { row: [-skew, 0, 0, 0, 1, 0], u: SKEW_SPREAD_PX },
    { row: [0, -skew, 0, 0, 0, 1], u: SKEW_SPREAD_PX },
    // Only so that places along one edge alone can be solved: far wider than any movement that is followed.
    { row: [1, 0, 0, 0, 0, 0], u: 0.02 * radius },
    { row: [0, 1, 0, 0, 0, 0], u: 0.02 * radius },
  ];
}

function solveOnce(
  moves: readonly SeenMove[],
  say: readonly number[],
  rows: (p: PhotoPoint) => readonly [readonly number[], readonly number[]],
  known: readonly Prior[],
): { readonly terms: readonly number[]; readonly normal: Matrix } {
  const normal = Matrix.zeros(6, 6);
  const right = [0, 0, 0, 0, 0, 0];
  const add = (a: readonly number[], b: readonly number[], w: number, value: number): void => {
    for (let i = 0; i < 6; i++) {
      right[i]! += w * a[i]! * value;
      for (let j = 0; j < 6; j++) normal.set(i, j, normal.get(i, j) + w * a[i]! * b[j]!);
    }
  };
  moves.forEach((m, k) => {
    const [rx, ry] = rows(m.at);
    const [xx, xy, yy] = floored(m.weight).map((w) => w * say[k]!) as [number, number, number];
    add(rx, rx, xx, m.dx);
    add(rx, ry, xy, m.dy);
    add(ry, rx, xy, m.dx);
    add(ry, ry, yy, m.dy);
  });
  for (const { row, u } of known) add(row, row, 1 / (u * u), 0);
  return { terms: solve(normal, Matrix.columnVector(right)).to1DArray(), normal };
}

/** No place counts as known better than LEAST_U_PX in any direction. */
function floored(w: readonly [number, number, number]): readonly [number, number, number] {
  const [xx, xy, yy] = w;
  const most = 1 / LEAST_U_PX ** 2;
  const largest = (xx + yy) / 2 + Math.hypot((xx - yy) / 2, xy);
  if (!(largest > 0)) return [0, 0, 0];
  const f = 1 / (1 + largest / most);
  return [xx * f, xy * f, yy * f];
}

function dot(a: readonly number[], b: readonly number[]): number {
  return a.reduce((t, v, i) => t + v * b[i]!, 0);
}

/** The six movements as a homography: to first order x + dx - tY + sX + X (pX + qY) is (..)/(1 - (pX + qY)/R). */
function homographyOf(s: readonly number[], cx: number, cy: number, radius: number): Homography {
  const [dx, dy, turn, size, p, q] = s.map((v) => v / radius) as [
    number,
    number,
    number,
    number,
    number,
    number,
  ];
  const centred = [1 + size, -turn, dx, turn, 1 + size, dy, -p, -q, 1];
  const into = [1 / radius, 0, -cx / radius, 0, 1 / radius, -cy / radius, 0, 0, 1];
  const back = [radius, 0, cx, 0, radius, cy, 0, 0, 1];
  return composeHomography(back, composeHomography(centred, into));
}
