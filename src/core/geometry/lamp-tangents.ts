import type { BoardPoint, BoardPose, Tangent, VehiclePoint } from '../frames.ts';
import type { LampView } from '../lamp-view.ts';
import { radFromDeg } from '../units.ts';

/** The board's directions in the vehicle frame: unit vectors along X and along Y. */
interface BoardAxes {
  readonly ex: VehiclePoint;
  readonly ey: VehiclePoint;
}

/**
 * Board axes for a pose: first rolled about the forward axis (+ right end up), then leaned (+ top away), then yawed
 * (+ right edge further away), each about the vehicle frame's own axes through the board's origin.
 */
export function boardAxes(pose: Pick<BoardPose, 'outOfPlumbDeg' | 'yawDeg' | 'rollDeg'>): BoardAxes {
  const roll = radFromDeg(pose.rollDeg);
  const lean = radFromDeg(pose.outOfPlumbDeg);
  const yaw = radFromDeg(pose.yawDeg);
  const turn = (right: number, up: number): VehiclePoint => {
    const r1 = right * Math.cos(roll) - up * Math.sin(roll);
    const u1 = right * Math.sin(roll) + up * Math.cos(roll);
    const f2 = u1 * Math.sin(lean);
    const u2 = u1 * Math.cos(lean);
    return {
      right: r1 * Math.cos(yaw) - f2 * Math.sin(yaw),
      forward: r1 * Math.sin(yaw) + f2 * Math.cos(yaw),
      up: u2,
    };
  };
  return { ex: turn(1, 0), ey: turn(0, 1) };
}

/** A board point in the vehicle frame, mm. */
export function vehiclePointOf(pose: BoardPose, p: BoardPoint): VehiclePoint {
  const { ex, ey } = boardAxes(pose);
  return {
    right: pose.origin.right + p.X * ex.right + p.Y * ey.right,
    forward: pose.origin.forward + p.X * ex.forward + p.Y * ey.forward,
    up: pose.origin.up + p.X * ex.up + p.Y * ey.up,
  };
}

/**
 * The lamp's view of a posed board: where its forward axis meets it, and how far away.
 * @param centre the lamp's reference centre, vehicle frame, mm.
 */
export function lampViewOf(pose: BoardPose, centre: VehiclePoint): LampView {
  const { ex, ey } = boardAxes(pose);
  // Solve origin + X ex + Y ey = centre + t forward for right and up, then t.
  const r = centre.right - pose.origin.right;
  const u = centre.up - pose.origin.up;
  const det = ex.right * ey.up - ey.right * ex.up;
  const X = (r * ey.up - ey.right * u) / det;
  const Y = (ex.right * u - r * ex.up) / det;
  const distanceMm = pose.origin.forward + X * ex.forward + Y * ey.forward - centre.forward;
  return {
    axisFoot: { X, Y },
    distanceMm,
    outOfPlumbDeg: pose.outOfPlumbDeg,
    yawDeg: pose.yawDeg,
    rollDeg: pose.rollDeg,
  };
}

/**
 * Tangents from the lamp's reference centre to a board point (design: u = d(right)/d(forward), v = d(up)/d(forward)).
 * @returns u and v, no unit; -100 v is the drop in per cent, 100 u the offset.
 */
export function tangentOf(view: LampView, p: BoardPoint): Tangent {
  const { ex, ey } = boardAxes(view);
  const X = p.X - view.axisFoot.X;
  const Y = p.Y - view.axisFoot.Y;
  const forward = view.distanceMm + X * ex.forward + Y * ey.forward;
  return { u: (X * ex.right + Y * ey.right) / forward, v: (X * ex.up + Y * ey.up) / forward };
}

/** The board point in a direction from the lamp: the inverse of tangentOf. */
export function boardPointAt(view: LampView, t: Tangent): BoardPoint {
  const { ex, ey } = boardAxes(view);
  // X ex.right + Y ey.right = u (D + X ex.f + Y ey.f), likewise up: two linear equations.
  const a = ex.right - t.u * ex.forward;
  const b = ey.right - t.u * ey.forward;
  const c = ex.up - t.v * ex.forward;
  const d = ey.up - t.v * ey.forward;
  const p = t.u * view.distanceMm;
  const q = t.v * view.distanceMm;
  const det = a * d - b * c;
  return { X: view.axisFoot.X + (p * d - b * q) / det, Y: view.axisFoot.Y + (a * q - p * c) / det };
}

/**
 * The map from tangents to the board as one 3 x 3 matrix, for the inner loops: (X·w, Y·w, w) = m (u, v, 1).
 * The ray (u, 1, v) meets the plane foot + X ex + Y ey; Cramer's rule makes both coordinates linear over one
 * common denominator. Agrees with boardPointAt (tested).
 */
export function tangentToBoardMatrix(view: LampView): readonly number[] {
  const { ex, ey } = boardAxes(view);
  const d = view.distanceMm;
  const { X, Y } = view.axisFoot;
  // Each row's coefficients in the order right (u), up (v), forward (1).
  const n = [
    ex.forward * ey.up - ex.up * ey.forward,
    ex.right * ey.forward - ex.forward * ey.right,
    ex.up * ey.right - ex.right * ey.up,
  ] as const;
  const x = [-d * ey.up, d * ey.right, 0] as const;
  const y = [d * ex.up, -d * ex.right, 0] as const;
  return [
    x[0] + X * n[0],
    x[1] + X * n[1],
    x[2] + X * n[2],
    y[0] + Y * n[0],
    y[1] + Y * n[1],
    y[2] + Y * n[2],
    n[0],
    n[1],
    n[2],
  ];
}
