import { InputError } from '../core/errors.ts';
import type { BoardPoint, PhotoPoint } from '../core/frames.ts';
import { radFromDeg } from '../core/units.ts';
import { type BoardPlace, cross, dot, type LampPoint, minus, unit } from './space.ts';

/** Where the camera stands, where it looks and how it draws. */
export interface CameraSpec {
  readonly widthPx: number;
  readonly heightPx: number;
  /** Place in the scene's frame, mm: behind the lamp means `forward` below 0. */
  readonly place: LampPoint;
  /** Board point in the middle of the picture (before any shift of the principal point). */
  readonly lookAt: BoardPoint;
  /** + turns the camera clockwise, so that the picture's content leans to the left. */
  readonly rollDeg: number;
  /** 35 mm equivalent focal length by the diagonal (43.27 mm on 24 x 36). */
  readonly focal35Mm: number;
  /** Radial distortion: photo radius = ideal radius (1 + k1 r^2 + k2 r^4), r in half diagonals; + pincushion. */
  readonly k1: number;
  readonly k2: number;
  /** How far the lens's axis lies off the picture's middle, px. */
  readonly principalPx: PhotoPoint;
}

/** A camera ready to project. */
export interface Camera {
  readonly focalPx: number;
  readonly project: (p: LampPoint) => PhotoPoint;
  /** Direction that a photo point looks in (not of unit length). */
  readonly wayOf: (x: number, y: number) => LampPoint;
  readonly spec: CameraSpec;
}

/** @throws InputError when the camera stands on the point it looks at, or its picture or focal length is empty. */
export function readyCamera(spec: CameraSpec, board: BoardPlace): Camera {
  if (!(spec.widthPx >= 16 && spec.heightPx >= 16)) {
    throw new InputError('camera.widthPx', 'a picture of at least 16 by 16 px', [
      spec.widthPx,
      spec.heightPx,
    ]);
  }
  if (!(spec.focal35Mm > 0)) throw new InputError('camera.focal35Mm', 'a length above 0 mm', spec.focal35Mm);
  const target = board.place(spec.lookAt.X, spec.lookAt.Y);
  const ahead = unit(minus(target, spec.place));
  const level = unit(cross(ahead, { right: 0, forward: 0, up: 1 }));
  if (!Number.isFinite(level.right))
    throw new InputError('camera.place', 'a place away from lookAt', spec.place);
  const top = cross(level, ahead);
  const [c, s] = [Math.cos(radFromDeg(spec.rollDeg)), Math.sin(radFromDeg(spec.rollDeg))];
  const mix = (a: LampPoint, p: number, b: LampPoint, q: number): LampPoint => ({
    right: p * a.right + q * b.right,
    forward: p * a.forward + q * b.forward,
    up: p * a.up + q * b.up,
  });
  const across = mix(level, c, top, -s);
  const upwards = mix(level, s, top, c);
  const diagonal = Math.hypot(spec.widthPx, spec.heightPx);
  const focalPx = (spec.focal35Mm * diagonal) / Math.hypot(36, 24);
  const half = diagonal / 2;
  const cx = (spec.widthPx - 1) / 2 + spec.principalPx.x;
  const cy = (spec.heightPx - 1) / 2 + spec.principalPx.y;
  const project = (p: LampPoint): PhotoPoint => {
    const d = minus(p, spec.place);
    const depth = dot(d, ahead);
    const x = (focalPx * dot(d, across)) / depth;
    const y = (-focalPx * dot(d, upwards)) / depth;
    const r2 = (x * x + y * y) / (half * half);
    const grow = 1 + spec.k1 * r2 + spec.k2 * r2 * r2;
    return { x: cx + x * grow, y: cy + y * grow };
  };
  const wayOf = (px: number, py: number): LampPoint => {
    const [gx, gy] = [px - cx, py - cy];
    let x = gx;
    let y = gy;
    for (let i = 0; i < 30; i++) {
      const r2 = (x * x + y * y) / (half * half);
      const grow = 1 + spec.k1 * r2 + spec.k2 * r2 * r2;
      const moved = Math.abs(gx / grow - x) + Math.abs(gy / grow - y);
      x = gx / grow;
      y = gy / grow;
      if (moved < 1e-9) break;
    }
    return mix(mix(across, x, upwards, -y), 1, ahead, focalPx);
  };
  return { focalPx, project, wayOf, spec };
}
