import type { BoardPoint } from '../core/frames.ts';
import { radFromDeg } from '../core/units.ts';

/**
 * The renderer's own three-dimensional frame: mm, origin at the (first) lamp's reference centre, directions as the
 * vehicle frame's. Written apart from the core, so that the two can disagree.
 */
export interface LampPoint {
  readonly right: number;
  readonly forward: number;
  readonly up: number;
}

/**
 * Where the board stands as the lamp sees it; signs as in core's BoardPose. `axisFoot` is the board point straight
 * ahead of the lamp's reference centre, at `distanceMm`.
 */
export interface BoardStand {
  readonly distanceMm: number;
  readonly axisFoot: BoardPoint;
  /** + top away from the lamp. */
  readonly outOfPlumbDeg: number;
  /** + right edge further away. */
  readonly yawDeg: number;
  /** + right end up. */
  readonly rollDeg: number;
}

/** A flat board with a bow: turns board points into places before the lamp and back. */
export interface BoardPlace {
  readonly ex: LampPoint;
  readonly ey: LampPoint;
  /** Unit vector off the board, away from the lamp. */
  readonly away: LampPoint;
  readonly place: (X: number, Y: number) => LampPoint;
  /** Where the line from `from` in direction `way` meets the board; null when it points away from it. */
  readonly meet: (from: LampPoint, way: LampPoint) => BoardPoint | null;
}

/** A cylinder-like bow: the middle of the board stands `sagMm` nearer to the lamp than its left and right ends. */
export interface Bow {
  readonly sagMm: number;
  readonly centreX: number;
  readonly halfWidthMm: number;
}

/** Rotation of a board direction: roll about forward, then lean about right, then yaw about up. */
function turned(x: number, y: number, stand: BoardStand): LampPoint {
  const [cr, sr] = [Math.cos(radFromDeg(stand.rollDeg)), Math.sin(radFromDeg(stand.rollDeg))];
  const [cl, sl] = [Math.cos(radFromDeg(stand.outOfPlumbDeg)), Math.sin(radFromDeg(stand.outOfPlumbDeg))];
  const [cy, sy] = [Math.cos(radFromDeg(stand.yawDeg)), Math.sin(radFromDeg(stand.yawDeg))];
  const rolled = { right: x * cr - y * sr, up: x * sr + y * cr };
  const leaned = { right: rolled.right, forward: rolled.up * sl, up: rolled.up * cl };
  return {
    right: leaned.right * cy - leaned.forward * sy,
    forward: leaned.right * sy + leaned.forward * cy,
    up: leaned.up,
  };
}

export function cross(a: LampPoint, b: LampPoint): LampPoint {
  // (right, forward, up) is a right-handed triple: right x forward = up.
  return {
    right: a.forward * b.up - a.up * b.forward,
    forward: a.up * b.right - a.right * b.up,
    up: a.right * b.forward - a.forward * b.right,
  };
}

export function dot(a: LampPoint, b: LampPoint): number {
  return a.right * b.right + a.forward * b.forward + a.up * b.up;
}

export function minus(a: LampPoint, b: LampPoint): LampPoint {
  return { right: a.right - b.right, forward: a.forward - b.forward, up: a.up - b.up };
}

export function unit(a: LampPoint): LampPoint {
  const length = Math.hypot(a.right, a.forward, a.up);
  return { right: a.right / length, forward: a.forward / length, up: a.up / length };
}

/** The board as a surface before the lamp. `bow` null is a flat board. */
export function boardPlace(stand: BoardStand, bow: Bow | null): BoardPlace {
  const ex = turned(1, 0, stand);
  const ey = turned(0, 1, stand);
  // ex x ey points back at the lamp in this frame (right x up = -forward).
  const back = cross(ex, ey);
  const away = { right: -back.right, forward: -back.forward, up: -back.up };
  const foot = { right: 0, forward: stand.distanceMm, up: 0 };
  const sag = (X: number): number => {
    if (!bow) return 0;
    const t = (X - bow.centreX) / bow.halfWidthMm;
    return Math.abs(t) < 1 ? -bow.sagMm * (1 - t * t) : 0;
  };
  const place = (X: number, Y: number): LampPoint => {
    const dx = X - stand.axisFoot.X;
    const dy = Y - stand.axisFoot.Y;
    const s = sag(X);
    return {
      right: foot.right + dx * ex.right + dy * ey.right + s * away.right,
      forward: foot.forward + dx * ex.forward + dy * ey.forward + s * away.forward,
      up: foot.up + dx * ex.up + dy * ey.up + s * away.up,
    };
  };
  const meet = (from: LampPoint, way: LampPoint): BoardPoint | null => {
    const slope = dot(way, away);
    if (slope <= 1e-9) return null;
    const start = minus(foot, from);
    const gap = dot(start, away);
    let X = 0;
    let Y = 0;
    // Each step aims at the plane shifted by the bow found so far; a bow is small, so this settles at once.
    for (let i = 0; i < (bow ? 6 : 1); i++) {
      const t = (gap + (i === 0 ? 0 : sag(X))) / slope;
      if (t <= 0) return null;
      const rest = {
        right: way.right * t - start.right,
        forward: way.forward * t - start.forward,
        up: way.up * t - start.up,
      };
      X = stand.axisFoot.X + dot(rest, ex);
      Y = stand.axisFoot.Y + dot(rest, ey);
    }
    return { X, Y };
  };
  return { ex, ey, away, place, meet };
}
