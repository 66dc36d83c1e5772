import type { BoardView } from '../board-view.ts';
import type { BoardPoint, PhotoPoint } from '../frames.ts';

/** A 3 x 3 matrix, row after row. */
type Nine = readonly [number, number, number, number, number, number, number, number, number];

/**
 * Where a board point lies in the photo: pinhole view, then one radial term (see BoardView).
 * @returns photo px; not finite when the point lies on the camera's horizon.
 */
export function photoPointOf(view: BoardView, p: BoardPoint): PhotoPoint {
  const h = view.homography as Nine;
  const w = h[6] * p.X + h[7] * p.Y + h[8];
  const ix = (h[0] * p.X + h[1] * p.Y + h[2]) / w;
  const iy = (h[3] * p.X + h[4] * p.Y + h[5]) / w;
  const { k1, cx, cy, scalePx } = view.radial;
  const dx = ix - cx;
  const dy = iy - cy;
  const s = 1 + (k1 * (dx * dx + dy * dy)) / (scalePx * scalePx);
  return { x: cx + dx * s, y: cy + dy * s };
}

/**
 * The board point seen at a photo point: the inverse of photoPointOf.
 * The radial term is undone by fixed-point steps, which settle to below 1e-9 px for |k1·r²/scale²| up to 0.2.
 */
export function boardPointOf(view: BoardView, p: PhotoPoint): BoardPoint {
  const { k1, cx, cy, scalePx } = view.radial;
  const px = p.x - cx;
  const py = p.y - cy;
  let dx = px;
  let dy = py;
  for (let i = 0; i < 50 && k1 !== 0; i++) {
    const s = 1 + (k1 * (dx * dx + dy * dy)) / (scalePx * scalePx);
    const nx = px / s;
    const ny = py / s;
    const moved = Math.abs(nx - dx) + Math.abs(ny - dy);
    dx = nx;
    dy = ny;
    if (moved < 1e-10) break;
  }
  const x = cx + dx;
  const y = cy + dy;
  const [a, b, c, d, e, f, g, h, i] = view.homography as Nine;
  // Adjugate of the homography: the common factor drops out of the ratio.
  const X = (e * i - f * h) * x + (c * h - b * i) * y + (b * f - c * e);
  const Y = (f * g - d * i) * x + (a * i - c * g) * y + (c * d - a * f);
  const W = (d * h - e * g) * x + (b * g - a * h) * y + (a * e - b * d);
  return { X: X / W, Y: Y / W };
}
