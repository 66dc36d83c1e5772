import type { Homography } from './homography.ts';

/**
 * A pinhole camera before the board. Camera axes: x right, y down, z along the view. A board point (X, Y, 0) lies at
 * R (X, Y, 0) + t, mm, and is seen at (f x/z + cx, f y/z + cy).
 */
export interface CameraPose {
  /** 3 x 3, row after row; its third column is the board's normal, towards the vehicle, in camera axes. */
  readonly rotation: readonly number[];
  /** Board origin in camera axes, mm. */
  readonly translation: readonly [number, number, number];
}

export interface Lens {
  /** Focal length, px. */
  readonly focalPx: number;
  readonly cx: number;
  readonly cy: number;
}

/** Board mm to photo px of a posed camera, scaled so that w is the depth in mm. */
export function homographyOfCamera(pose: CameraPose, lens: Lens): Homography {
  const r = pose.rotation;
  const t = pose.translation;
  const { focalPx: f, cx, cy } = lens;
  return [
    f * r[0]! + cx * r[6]!,
    f * r[1]! + cx * r[7]!,
    f * t[0] + cx * t[2],
    f * r[3]! + cy * r[6]!,
    f * r[4]! + cy * r[7]!,
    f * t[1] + cy * t[2],
    r[6]!,
    r[7]!,
    t[2],
  ];
}

/**
 * The camera pose that comes nearest to a homography for a given lens: the two columns are made orthonormal together.
 * @returns null when the board's origin would lie behind the camera whichever sign is taken, or the columns vanish.
 * @see Zhang 2000, A flexible new technique for camera calibration, section 3.1 and appendix C (from memory).
 */
export function poseOfHomography(h: Homography, lens: Lens): CameraPose | null {
  const { focalPx: f, cx, cy } = lens;
  const column = (c: number): [number, number, number] => [
    (h[c]! - cx * h[6 + c]!) / f,
    (h[3 + c]! - cy * h[6 + c]!) / f,
    h[6 + c]!,
  ];
  const a = column(0);
  const b = column(1);
  const c = column(2);
  // Nearest orthonormal pair: (a b) times the inverse root of its 2 x 2 Gram matrix G, and root G = (G + sI)/t.
  const dot = (p: readonly number[], q: readonly number[]): number =>
    p[0]! * q[0]! + p[1]! * q[1]! + p[2]! * q[2]!;
  const aa = dot(a, a);
  const ab = dot(a, b);
  const bb = dot(b, b);
  const s = Math.sqrt(Math.max(0, aa * bb - ab * ab));
  const t = Math.sqrt(aa + bb + 2 * s);
  if (!(s > 0) || !Number.isFinite(t)) return null;
  // Depth must be positive where the board is.
  const sign = c[2] < 0 ? -1 : 1;
  // Inverse of (G + sI)/t; its determinant is s.
  const ia = (sign * (bb + s)) / (s * t);
  const ib = (sign * (aa + s)) / (s * t);
  const iab = (-sign * ab) / (s * t);
  const x = a.map((v, i) => ia * v + iab * b[i]!) as [number, number, number];
  const y = b.map((v, i) => ib * v + iab * a[i]!) as [number, number, number];
  const k = (2 * sign) / t;
  return {
    rotation: [
      x[0],
      y[0],
      x[1] * y[2] - x[2] * y[1],
      x[1],
      y[1],
      x[2] * y[0] - x[0] * y[2],
      x[2],
      y[2],
      x[0] * y[1] - x[1] * y[0],
    ],
    translation: [c[0] * k, c[1] * k, c[2] * k],
  };
}

/** A rotation turned by a small rotation vector (radians, about the camera's axes): exp(w) R, Rodrigues' formula. */
export function turnedBy(
  rotation: readonly number[],
  w: readonly [number, number, number],
): readonly number[] {
  const angle = Math.hypot(...w);
  // Series below 1e-4 rad: the quotients lose digits there.
  const s = angle < 1e-4 ? 1 - (angle * angle) / 6 : Math.sin(angle) / angle;
  const c = angle < 1e-4 ? 0.5 - (angle * angle) / 24 : (1 - Math.cos(angle)) / (angle * angle);
  const [x, y, z] = w;
  const e = [
    1 - c * (y * y + z * z),
    c * x * y - s * z,
    c * x * z + s * y,
    c * x * y + s * z,
    1 - c * (x * x + z * z),
    c * y * z - s * x,
    c * x * z - s * y,
    c * y * z + s * x,
    1 - c * (x * x + y * y),
  ];
  const out: number[] = [];
  for (let i = 0; i < 3; i++) {
    for (let j = 0; j < 3; j++) {
      out.push(
        e[3 * i]! * rotation[j]! + e[3 * i + 1]! * rotation[3 + j]! + e[3 * i + 2]! * rotation[6 + j]!,
      );
    }
  }
  return out;
}
