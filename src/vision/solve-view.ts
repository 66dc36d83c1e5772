import type { BoardView } from '../core/board-view.ts';
import type { BoardPoint, PhotoPoint } from '../core/frames.ts';
import { photoPointOf } from '../core/geometry/board-projection.ts';
import {
  type CameraPose,
  homographyOfCamera,
  type Lens,
  poseOfHomography,
  turnedBy,
} from '../core/geometry/camera-pose.ts';
import { composeHomography, fitHomography, type Homography } from '../core/geometry/homography.ts';
import { fitLeastSquares } from '../core/geometry/least-squares.ts';

/** What the photo's file tells the geometry. */
export interface PhotoSize {
  readonly width: number;
  readonly height: number;
  /** EXIF 35 mm equivalent focal length, or null. */
  readonly focal35Mm: number | null;
}

/** A point seen: its place in the body that carries it (mm, about the body's own centre) and in the photo. */
export interface BodyPoint {
  readonly name: string;
  readonly local: BoardPoint;
  readonly photo: PhotoPoint;
  readonly uPx: number;
}

/** Something rigid on the board with a stated place: a sheet with 16 corners, or a cross with one point. */
export interface Body {
  readonly name: string;
  readonly at: BoardPoint;
  readonly turnDeg: number;
  /** Standard uncertainties of the place; turn matters only to bodies of more than one point. */
  readonly uXMm: number;
  readonly uYMm: number;
  readonly uTurnDeg: number;
  readonly points: readonly BodyPoint[];
}

/** Standard uncertainty of ln(focal length): EXIF gives whole mm and knows nothing of cropping; else only the usual range. */
const U_LN_FOCAL_EXIF = 0.04;
const U_LN_FOCAL_UNKNOWN = 0.6;
/** The lens axis need not hit the middle of the picture (stabiliser, cropping): part of the diagonal. */
const U_CENTRE_PART = 0.01;
/** Radial term at the picture's corner: phones correct theirs, so it is small. */
const U_RADIAL = 0.05;
/**
 * What one radial term leaves over, px, and print and flatness, mm: shared by neighbouring points, so it is given larger
 * than it is to keep sixteen of them from claiming too much.
 */
const U_MODEL_PX = 0.15;
const U_MODEL_MM = 0.2;
/** 35 mm film's diagonal, mm: the base of the EXIF equivalent (CIPA DCG-001, from memory). */
const FILM_DIAGONAL_MM = 43.267;
/** Camera parameters: turn 3, translation 3, ln focal, centre 2, radial 1. */
export const CAMERA_PARAMS = 10;

export interface SolvedView {
  readonly view: BoardView;
  readonly pose: CameraPose;
  readonly lens: Lens;
  /** Fitted shift of each body from its stated place, mm and degrees. */
  readonly shifts: readonly { readonly X: number; readonly Y: number; readonly turnDeg: number }[];
  /** Sum of squares of all residuals over their uncertainties, and how many are left free. */
  readonly chiSquared: number;
  readonly freedom: number;
  /** For each body, its points' residuals in px over their uncertainty, root mean square. */
  readonly bodyMisfit: readonly number[];
  /** Covariance of the camera parameters: from points found and lens priors, and from bodies placed. */
  readonly foundCov: readonly (readonly number[])[];
  readonly placedCov: readonly (readonly number[])[];
  /** Covariance of all parameters, bodies' shifts (X mm, Y mm, turn rad each) after the camera's ten. */
  readonly covariance: readonly (readonly number[])[];
  /** View for other camera parameters: for derivatives. */
  readonly viewAt: (cameraParams: readonly number[]) => BoardView;
  readonly params: readonly number[];
}

/**
 * Camera and bodies solved together: pinhole with square pixels, one radial term, lens priors, and each body free to be
 * off its stated place by its own uncertainty (a rigid body: sheets shift and turn as a whole).
 * @param weights one per point of all bodies in order; 0 leaves a point out.
 * @returns null when no camera sees the points like that at all (too few, in one line, behind).
 */
export function solveView(
  bodies: readonly Body[],
  photo: PhotoSize,
  weights?: readonly number[],
): SolvedView | null {
  const all = bodies.flatMap((b, k) =>
    b.points.map((p) => ({ ...p, body: k, nominal: bodyPoint(b, p.local) })),
  );
  const used = all.map((_, i) => weights?.[i] ?? 1);
  const count = used.filter((w) => w > 0).length;
  if (count < 4) return null;
  const middle = {
    X: mean(all.filter((_, i) => used[i]! > 0).map((p) => p.nominal.X)),
    Y: mean(all.filter((_, i) => used[i]! > 0).map((p) => p.nominal.Y)),
  };
  const start = startCamera(all, used, middle, photo);
  if (start === null) return null;
  const { pose0, lens0, pxPerMm } = start;
  const uPoint = all.map((p) => pointUncertainty(p.uPx, pxPerMm));
  const viewAt = (q: readonly number[]): BoardView => cameraView(pose0, q, middle, photo);
  const residuals = (q: readonly number[]): number[] => {
    const view = viewAt(q);
    const r: number[] = [];
    for (let i = 0; i < all.length; i++) {
      const p = all[i]!;
      const body = bodies[p.body]!;
      const at = CAMERA_PARAMS + 3 * p.body;
      const seen = photoPointOf(view, bodyPoint(body, p.local, q[at]!, q[at + 1]!, q[at + 2]!));
      const k = used[i]! / uPoint[i]!;
      r.push(k * (seen.x - p.photo.x), k * (seen.y - p.photo.y));
    }
    r.push(...lensPriors(q, photo));
    bodies.forEach((b, k) => {
      const at = CAMERA_PARAMS + 3 * k;
      r.push(q[at]! / Math.max(b.uXMm, 0.01), q[at + 1]! / Math.max(b.uYMm, 0.01));
      r.push(q[at + 2]! / Math.max((b.uTurnDeg * Math.PI) / 180, 1e-5));
    });
    return r;
  };

  const camera = cameraStart(pose0, lens0, photo);
  const fit = fitLeastSquares({
    start: [...camera.start, ...bodies.flatMap(() => [0, 0, 0])],
    scales: [...camera.scales, ...bodies.flatMap(() => [10, 10, 0.1])],
    residuals,
    maxIterations: 40,
  });
  if (fit.covariance === null || !Number.isFinite(fit.cost)) return null;
  const q = fit.params;
  const { pose, lens } = cameraOf(pose0, q);
  const foundRows = 2 * all.length + 4;
  return {
    view: viewAt(q),
    pose: { ...pose, translation: shiftedOrigin(pose, middle) },
    lens,
    shifts: bodies.map((_, k) => ({
      X: q[CAMERA_PARAMS + 3 * k]!,
      Y: q[CAMERA_PARAMS + 3 * k + 1]!,
      turnDeg: (q[CAMERA_PARAMS + 3 * k + 2]! * 180) / Math.PI,
    })),
    chiSquared: fit.cost,
    // Rows less parameters: every prior is a row too.
    freedom: 2 * count + 4 + 3 * bodies.length - q.length,
    bodyMisfit: bodies.map((_, k) => {
      const rows = all.flatMap((p, i) => (p.body === k && used[i]! > 0 ? [2 * i, 2 * i + 1] : []));
      return Math.sqrt(mean(rows.map((i) => fit.residuals[i]! ** 2)));
    }),
    foundCov: partOfCovariance(fit.covariance, fit.jacobian, 0, foundRows),
    placedCov: partOfCovariance(fit.covariance, fit.jacobian, foundRows, fit.residuals.length),
    covariance: fit.covariance,
    viewAt,
    params: q,
  };
}

/** A body's own point on the board: turned, then moved; small shifts added to the stated place. */
export function bodyPoint(body: Body, local: BoardPoint, dX = 0, dY = 0, dTurnRad = 0): BoardPoint {
  const angle = (body.turnDeg * Math.PI) / 180 + dTurnRad;
  const c = Math.cos(angle);
  const s = Math.sin(angle);
  return {
    X: body.at.X + dX + c * local.X - s * local.Y,
    Y: body.at.Y + dY + s * local.X + c * local.Y,
  };
}

/** What a found corner may be off by in all, px: its own uncertainty, the lens, and print and flatness. */
export function pointUncertainty(uPx: number, pxPerMm: number): number {
  return Math.hypot(uPx, U_MODEL_PX, U_MODEL_MM * pxPerMm);
}

/** Camera of ten parameters: turn against `pose0` (rad, 3), translation (mm, 3), ln focal, centre (px, 2), radial term. */
function cameraOf(pose0: CameraPose, q: readonly number[]): { pose: CameraPose; lens: Lens } {
  return {
    pose: {
      rotation: turnedBy(pose0.rotation, [q[0]!, q[1]!, q[2]!]),
      translation: [q[3]!, q[4]!, q[5]!],
    },
    lens: { focalPx: Math.exp(q[6]!), cx: q[7]!, cy: q[8]! },
  };
}

/** The board as a camera of ten parameters sees it; `middle` is the board point that the translation belongs to. */
export function cameraView(
  pose0: CameraPose,
  q: readonly number[],
  middle: BoardPoint,
  photo: PhotoSize,
): BoardView {
  const { pose, lens } = cameraOf(pose0, q);
  const centred = homographyOfCamera(pose, lens);
  const homography = composeHomography(centred, [1, 0, -middle.X, 0, 1, -middle.Y, 0, 0, 1]);
  return { homography, radial: { k1: q[9]!, ...radialFrame(photo) } };
}

/** Where the ten start, and how large their steps are. */
export function cameraStart(
  pose0: CameraPose,
  lens0: Lens,
  photo: PhotoSize,
): { readonly start: readonly number[]; readonly scales: readonly number[] } {
  const t = pose0.translation;
  const depth = Math.abs(t[2]);
  const { scalePx } = radialFrame(photo);
  return {
    start: [0, 0, 0, ...t, Math.log(lens0.focalPx), lens0.cx, lens0.cy, 0],
    scales: [1, 1, 1, depth, depth, depth, 1, scalePx, scalePx, 1],
  };
}

/** What is known of a lens beforehand, as four residuals over their uncertainties. */
export function lensPriors(
  q: readonly number[],
  photo: PhotoSize,
): readonly [number, number, number, number] {
  const { cx, cy, scalePx } = radialFrame(photo);
  const uCentre = U_CENTRE_PART * 2 * scalePx;
  return [
    (q[6]! - Math.log(priorFocalPx(photo))) /
      (photo.focal35Mm === null ? U_LN_FOCAL_UNKNOWN : U_LN_FOCAL_EXIF),
    (q[7]! - cx) / uCentre,
    (q[8]! - cy) / uCentre,
    q[9]! / U_RADIAL,
  ];
}

/** Centre of the radial term and its unit: the picture's middle and half its diagonal. */
export function radialFrame(photo: PhotoSize): { cx: number; cy: number; scalePx: number } {
  return {
    cx: (photo.width - 1) / 2,
    cy: (photo.height - 1) / 2,
    scalePx: Math.hypot(photo.width, photo.height) / 2,
  };
}

/** Focal length to expect, px: EXIF's, or the usual main camera of a phone. */
export function priorFocalPx(photo: PhotoSize): number {
  const diagonal = Math.hypot(photo.width, photo.height);
  return photo.focal35Mm === null ? 0.75 * diagonal : (photo.focal35Mm / FILM_DIAGONAL_MM) * diagonal;
}

/**
 * A first camera: the plain homography, read as a pose for the focal length that suits it best.
 * @param middle board point that the pose is counted from: it must be in view.
 */
export function startCamera(
  points: readonly { readonly nominal: BoardPoint; readonly photo: PhotoPoint }[],
  used: readonly number[],
  middle: BoardPoint,
  photo: PhotoSize,
): { pose0: CameraPose; lens0: Lens; pxPerMm: number } | null {
  const board = points.map((p) => ({ X: p.nominal.X - middle.X, Y: p.nominal.Y - middle.Y }));
  const seen = points.map((p) => p.photo);
  const h = fitHomography(board, seen, used);
  if (h === null) return null;
  const { cx, cy } = radialFrame(photo);
  const factors = photo.focal35Mm === null ? [1, 0.6, 1.7, 3] : [1];
  let best: { pose0: CameraPose; lens0: Lens; pxPerMm: number; cost: number } | null = null;
  for (const k of factors) {
    const lens0 = { focalPx: k * priorFocalPx(photo), cx, cy };
    const pose0 = poseOfHomography(h, lens0);
    if (pose0 === null) continue;
    const g = homographyOfCamera(pose0, lens0);
    let cost = 0;
    board.forEach((b, i) => {
      if (used[i]! > 0) cost += distanceSquared(g, b, seen[i]!);
    });
    const pxPerMm = lens0.focalPx / Math.abs(pose0.translation[2]);
    if (Number.isFinite(cost) && (best === null || cost < best.cost)) best = { pose0, lens0, pxPerMm, cost };
  }
  return best;
}

function distanceSquared(h: Homography, b: BoardPoint, p: PhotoPoint): number {
  const w = h[6]! * b.X + h[7]! * b.Y + h[8]!;
  return (
    ((h[0]! * b.X + h[1]! * b.Y + h[2]!) / w - p.x) ** 2 +
    ((h[3]! * b.X + h[4]! * b.Y + h[5]!) / w - p.y) ** 2
  );
}

/** C Jᵀ J C over some rows, camera block only: how much of the variance these rows' errors bring. */
function partOfCovariance(
  c: readonly (readonly number[])[],
  jacobian: readonly Float64Array[],
  from: number,
  to: number,
): number[][] {
  const n = jacobian.length;
  const out = Array.from({ length: CAMERA_PARAMS }, () => new Array<number>(CAMERA_PARAMS).fill(0));
  const g = new Float64Array(CAMERA_PARAMS);
  for (let i = from; i < to; i++) {
    g.fill(0);
    for (let k = 0; k < n; k++) {
      const j = jacobian[k]![i]!;
      if (j !== 0) for (let a = 0; a < CAMERA_PARAMS; a++) g[a]! += c[a]![k]! * j;
    }
    for (let a = 0; a < CAMERA_PARAMS; a++) {
      for (let b = 0; b < CAMERA_PARAMS; b++) out[a]![b]! += g[a]! * g[b]!;
    }
  }
  return out;
}

/** Translation for the board's own origin instead of the points' middle. */
function shiftedOrigin(pose: CameraPose, middle: BoardPoint): [number, number, number] {
  const r = pose.rotation;
  const t = pose.translation;
  return [
    t[0] - r[0]! * middle.X - r[1]! * middle.Y,
    t[1] - r[3]! * middle.X - r[4]! * middle.Y,
    t[2] - r[6]! * middle.X - r[7]! * middle.Y,
  ];
}

function mean(values: readonly number[]): number {
  return values.length === 0 ? 0 : values.reduce((s, v) => s + v, 0) / values.length;
}
