import type { PhotoPoint } from '../core/frames.ts';
import type { Outline } from './dark-outlines.ts';

/** Four corners in lattice units of the outline, clockwise as seen in the photo. */
export type Quad = readonly [PhotoPoint, PhotoPoint, PhotoPoint, PhotoPoint];

/** Shortest side worth decoding, plane px. */
const LEAST_SIDE = 8;

/**
 * The four-sided shape that an outline follows, by lines fitted to its sides.
 * @returns null when the outline is no four-sided shape, to within 0.9 px or 4 % of its size.
 */
export function outlineQuad(outline: Outline): Quad | null {
  const corners = fourCorners(outline.points);
  if (corners === null) return null;
  const sides = corners.map((c, i) => sideLine(outline.points, c, corners[(i + 1) % 4]!));
  const lines: Line[] = [];
  for (const s of sides) {
    if (s === null) return null;
    lines.push(s);
  }
  const quad: PhotoPoint[] = [];
  for (let i = 0; i < 4; i++) {
    const p = crossing(lines[(i + 3) % 4]!, lines[i]!);
    if (p === null) return null;
    quad.push(p);
  }
  return isFair(quad, outline.area) ? (quad as unknown as Quad) : null;
}

/** Indices of four corners, in order: the chord that leaves the outline farthest behind is split until four remain. */
function fourCorners(points: Int16Array): readonly number[] | null {
  const n = points.length / 2;
  let cx = 0;
  let cy = 0;
  for (let i = 0; i < n; i++) {
    cx += points[2 * i]!;
    cy += points[2 * i + 1]!;
  }
  const first = farthestFrom(points, cx / n, cy / n);
  const second = farthestFrom(points, points[2 * first]!, points[2 * first + 1]!);
  if (first === second) return null;
  const corners = [first, second];
  while (corners.length < 4) {
    let best = { distance: 0, index: -1, after: -1 };
    for (let k = 0; k < corners.length; k++) {
      const far = farthestFromChord(points, corners[k]!, corners[(k + 1) % corners.length]!);
      if (far.distance > best.distance) best = { ...far, after: k };
    }
    if (best.index < 0 || best.distance < 2) return null;
    corners.splice(best.after + 1, 0, best.index);
  }
  return corners;
}

function farthestFrom(points: Int16Array, x: number, y: number): number {
  let best = -1;
  let index = 0;
  for (let i = 0; i < points.length / 2; i++) {
    const d = (points[2 * i]! - x) ** 2 + (points[2 * i + 1]! - y) ** 2;
    if (d > best) {
      best = d;
      index = i;
    }
  }
  return index;
}

function farthestFromChord(points: Int16Array, a: number, b: number): { distance: number; index: number } {
  const n = points.length / 2;
  const ax = points[2 * a]!;
  const ay = points[2 * a + 1]!;
  const dx = points[2 * b]! - ax;
  const dy = points[2 * b + 1]! - ay;
  const length = Math.hypot(dx, dy);
  let best = { distance: 0, index: -1 };
  for (let i = (a + 1) % n; i !== b; i = (i + 1) % n) {
    const d =
      length > 0
        ? Math.abs((points[2 * i]! - ax) * dy - (points[2 * i + 1]! - ay) * dx) / length
        : Math.hypot(points[2 * i]! - ax, points[2 * i + 1]! - ay);
    if (d > best.distance) best = { distance: d, index: i };
  }
  return best;
}

/** A line as a·x + b·y = c with a² + b² = 1. */
interface Line {
  readonly a: number;
  readonly b: number;
  readonly c: number;
}

/** Total least squares line through a side, its ends left out; null when the side is short or not straight. */
function sideLine(points: Int16Array, from: number, to: number): Line | null {
  const n = points.length / 2;
  const count = (to - from + n) % n;
  if (count < LEAST_SIDE) return null;
  const margin = Math.max(1, Math.round(0.1 * count));
  let line: Line | null = null;
  // The second pass leaves out what sticks out: a speck grown onto the side.
  for (let pass = 0; pass < 2; pass++) {
    let m = 0;
    let sx = 0;
    let sy = 0;
    let sxx = 0;
    let sxy = 0;
    let syy = 0;
    for (let k = margin; k < count - margin; k++) {
      // Middles of the unit steps: corners of a staircase lie to both sides of the line, middles lie on it.
      const i = (from + k) % n;
      const j = (i + 1) % n;
      const x = (points[2 * i]! + points[2 * j]!) / 2;
      const y = (points[2 * i + 1]! + points[2 * j + 1]!) / 2;
      if (line !== null && Math.abs(line.a * x + line.b * y - line.c) > 1) continue;
      m++;
      sx += x;
      sy += y;
      sxx += x * x;
      sxy += x * y;
      syy += y * y;
    }
    if (m < 0.6 * (count - 2 * margin) || m < 5) return null;
    const vx = sxx / m - (sx / m) ** 2;
    const vy = syy / m - (sy / m) ** 2;
    const vxy = sxy / m - (sx / m) * (sy / m);
    const angle = 0.5 * Math.atan2(2 * vxy, vx - vy);
    const a = -Math.sin(angle);
    const b = Math.cos(angle);
    line = { a, b, c: (a * sx + b * sy) / m };
    const across = a * a * vx + 2 * a * b * vxy + b * b * vy;
    const limit = Math.max(pass === 0 ? 1.6 : 0.9, 0.04 * count);
    if (across > limit * limit) return null;
  }
  return line;
}

function crossing(p: Line, q: Line): PhotoPoint | null {
  const det = p.a * q.b - p.b * q.a;
  if (Math.abs(det) < 0.15) return null;
  return { x: (p.c * q.b - p.b * q.c) / det, y: (p.a * q.c - p.c * q.a) / det };
}

/** Convex, clockwise on the screen, no side too short, and about the area of the outline. */
function isFair(quad: readonly PhotoPoint[], area: number): boolean {
  let twice = 0;
  for (let i = 0; i < 4; i++) {
    const p = quad[i]!;
    const q = quad[(i + 1) % 4]!;
    const r = quad[(i + 2) % 4]!;
    if (Math.hypot(q.x - p.x, q.y - p.y) < LEAST_SIDE) return false;
    if ((q.x - p.x) * (r.y - q.y) - (q.y - p.y) * (r.x - q.x) <= 0) return false;
    twice += p.x * q.y - q.x * p.y;
  }
  return Math.abs(twice / 2 - area) < 0.25 * area;
}
