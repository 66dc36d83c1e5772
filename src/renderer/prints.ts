import type { BoardPoint, PhotoPoint } from '../core/frames.ts';
import type { PlacedPrint } from './scene.ts';

/** Reflectance of black and of white tape or ink, where the caller has no better figure. */
export const DARK_TAPE = 0.05;

/** A cross of tape: two strips `lengthMm` long and `widthMm` wide, turned by `turnDeg` (+ anticlockwise). */
export function tapeCross(
  centre: BoardPoint,
  lengthMm = 120,
  widthMm = 19,
  turnDeg = 0,
  reflectance = DARK_TAPE,
): readonly PlacedPrint[] {
  const c = Math.cos((turnDeg * Math.PI) / 180);
  const s = Math.sin((turnDeg * Math.PI) / 180);
  const strip = (halfX: number, halfY: number): PlacedPrint => ({
    shape: {
      kind: 'polygon',
      points: (
        [
          [-halfX, -halfY],
          [halfX, -halfY],
          [halfX, halfY],
          [-halfX, halfY],
        ] as const
      ).map(([x, y]) => ({ X: centre.X + x * c - y * s, Y: centre.Y + x * s + y * c })),
    },
    reflectance,
  });
  return [strip(lengthMm / 2, widthMm / 2), strip(widthMm / 2, lengthMm / 2)];
}

/** A cross drawn with a pen: as a tape cross, but thin. */
export function penCross(
  centre: BoardPoint,
  lengthMm = 60,
  widthMm = 1.2,
  turnDeg = 0,
): readonly PlacedPrint[] {
  return tapeCross(centre, lengthMm, widthMm, turnDeg, 0.12);
}

interface Outline {
  readonly points: Float64Array;
  readonly reflectance: number;
  readonly xLow: number;
  readonly xHigh: number;
  readonly yLow: number;
  readonly yHigh: number;
}

const SUB_ROWS = 16;
const SUB_COLUMNS = 4;

/**
 * Paints prints into a plane of reflectances, in the order given, edges smoothed by area: sixteen lines per pixel
 * row, each with its four sub-pixels at another phase, so that no edge is off by more than about 1/32 px.
 *
 * @param plane width * height reflectances, changed in place.
 * @param toPhoto board mm to photo px.
 */
export function paintPrints(
  plane: Float32Array,
  width: number,
  height: number,
  prints: readonly PlacedPrint[],
  toPhoto: (X: number, Y: number) => PhotoPoint,
): void {
  const outlines = prints
    .map((print) => outlineOf(print, toPhoto))
    .filter((one) => isInside(one, width, height));
  for (const group of groupsOf(outlines)) paintGroup(plane, width, height, group);
}

/** A print's outline in the photo; long edges are cut, so that they follow the lens's distortion. */
function outlineOf(print: PlacedPrint, toPhoto: (X: number, Y: number) => PhotoPoint): Outline {
  const corners: BoardPoint[] = [];
  if (print.shape.kind === 'disc') {
    const { centre, radiusMm } = print.shape;
    const n = 96;
    // A polygon inside the circle is too small by (1 - (2 pi/n)^2/6) in area: make up for it.
    const r = radiusMm * (1 + (2 * Math.PI) ** 2 / (12 * n * n));
    for (let i = 0; i < n; i++) {
      const t = (2 * Math.PI * i) / n;
      corners.push({ X: centre.X + r * Math.cos(t), Y: centre.Y + r * Math.sin(t) });
    }
  } else corners.push(...print.shape.points);
  const points: number[] = [];
  let [xLow, xHigh, yLow, yHigh] = [Infinity, -Infinity, Infinity, -Infinity];
  corners.forEach((from, i) => {
    const to = corners[(i + 1) % corners.length] as BoardPoint;
    const a = toPhoto(from.X, from.Y);
    const b = toPhoto(to.X, to.Y);
    const pieces = Math.max(1, Math.min(200, Math.ceil(Math.hypot(b.x - a.x, b.y - a.y) / 40)));
    for (let k = 0; k < pieces; k++) {
      const t = k / pieces;
      const p = k === 0 ? a : toPhoto(from.X + t * (to.X - from.X), from.Y + t * (to.Y - from.Y));
      points.push(p.x, p.y);
      xLow = Math.min(xLow, p.x);
      xHigh = Math.max(xHigh, p.x);
      yLow = Math.min(yLow, p.y);
      yHigh = Math.max(yHigh, p.y);
    }
  });
  return { points: Float64Array.from(points), reflectance: print.reflectance, xLow, xHigh, yLow, yHigh };
}

function isInside(one: Outline, width: number, height: number): boolean {
  return one.xHigh > -0.5 && one.xLow < width - 0.5 && one.yHigh > -0.5 && one.yLow < height - 0.5;
}

/** Outlines whose boxes touch must be painted together; the order within a group is kept. */
function groupsOf(outlines: readonly Outline[]): readonly (readonly Outline[])[] {
  const root = outlines.map((_, i) => i);
  const find = (i: number): number => {
    let r = i;
    while (root[r] !== r) r = root[r] as number;
    root[i] = r;
    return r;
  };
  outlines.forEach((a, i) => {
    for (let j = 0; j < i; j++) {
      const b = outlines[j] as Outline;
      if (a.xLow < b.xHigh + 2 && b.xLow < a.xHigh + 2 && a.yLow < b.yHigh + 2 && b.yLow < a.yHigh + 2) {
        root[find(i)] = find(j);
      }
    }
  });
  const groups = new Map<number, Outline[]>();
  outlines.forEach((one, i) => {
    const r = find(i);
    const list = groups.get(r);
    if (list) list.push(one);
    else groups.set(r, [one]);
  });
  return [...groups.values()];
}

function paintGroup(plane: Float32Array, width: number, height: number, group: readonly Outline[]): void {
  const xLow = Math.max(0, Math.floor(Math.min(...group.map((one) => one.xLow)) + 0.5));
  const xHigh = Math.min(width - 1, Math.ceil(Math.max(...group.map((one) => one.xHigh)) - 0.5));
  const yLow = Math.max(0, Math.floor(Math.min(...group.map((one) => one.yLow)) + 0.5));
  const yHigh = Math.min(height - 1, Math.ceil(Math.max(...group.map((one) => one.yHigh)) - 0.5));
  const n = xHigh - xLow + 1;
  if (n < 1) return;
  const line = new Float32Array(n * SUB_COLUMNS);
  const sum = new Float32Array(n);
  const count = new Float32Array(n);
  const crossings: number[] = [];
  for (let y = yLow; y <= yHigh; y++) {
    sum.fill(0);
    count.fill(0);
    for (let k = 0; k < SUB_ROWS; k++) {
      const yy = y - 0.5 + (k + 0.5) / SUB_ROWS;
      // The phase of the sub-columns runs through sixteen values in a shuffled order.
      const phase = (((k * 7) % SUB_ROWS) + 0.5) / SUB_ROWS;
      line.fill(-1);
      for (const one of group) {
        if (yy < one.yLow || yy > one.yHigh) continue;
        crossingsOf(one.points, yy, crossings);
        for (let c = 0; c + 1 < crossings.length; c += 2) {
          const a = Math.ceil((crossings[c]! - xLow + 0.5) * SUB_COLUMNS - phase);
          const b = Math.ceil((crossings[c + 1]! - xLow + 0.5) * SUB_COLUMNS - phase);
          line.fill(one.reflectance, Math.max(0, a), Math.max(0, b));
        }
      }
      for (let i = 0; i < n; i++) {
        for (let q = 0; q < SUB_COLUMNS; q++) {
          const value = line[i * SUB_COLUMNS + q]!;
          if (value >= 0) {
            sum[i]! += value;
            count[i]! += 1;
          }
        }
      }
    }
    const all = SUB_ROWS * SUB_COLUMNS;
    for (let i = 0; i < n; i++) {
      const at = y * width + xLow + i;
      plane[at] = (plane[at]! * (all - count[i]!) + sum[i]!) / all;
    }
  }
}

/** Where a horizontal line crosses an outline, from left to right. */
function crossingsOf(points: Float64Array, y: number, out: number[]): void {
  out.length = 0;
  const n = points.length;
  let px = points[n - 2]!;
  let py = points[n - 1]!;
  for (let i = 0; i < n; i += 2) {
    const x = points[i]!;
    const q = points[i + 1]!;
    if (py <= y !== q <= y) out.push(px + ((y - py) / (q - py)) * (x - px));
    px = x;
    py = q;
  }
  if (out.length > 2) out.sort((a, b) => a - b);
  else if (out.length === 2 && out[0]! > out[1]!) out.reverse();
}
