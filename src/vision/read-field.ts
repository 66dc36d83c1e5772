import type { PhotoPoint } from '../core/frames.ts';
import { applyHomography, fitHomography, type Homography } from '../core/geometry/homography.ts';
import { FIELD_CELLS } from './mark-codes.ts';
import { MARK_CELLS } from './mark-design.ts';

/** Brightness at a place between pixels, any linear unit; NaN outside the picture. */
export type Sampler = (x: number, y: number) => number;

/**
 * Mark frame: cells from the upper left corner, `X` right 0 to 8, `Y` down 0 to 8, so that a field is read in the
 * order of the code book. Board points of homography.ts are used as carriers of these two numbers.
 */
export const MARK_CORNERS = [
  { X: 0, Y: 0 },
  { X: MARK_CELLS, Y: 0 },
  { X: MARK_CELLS, Y: MARK_CELLS },
  { X: 0, Y: MARK_CELLS },
] as const;

/** Mark frame to photo for a square with these four corners, clockwise on the screen from upper left. */
export function markHomography(corners: readonly PhotoPoint[]): Homography | null {
  return fitHomography(MARK_CORNERS, corners);
}

/** What stands in a square: its field, and how clearly. */
export interface FieldReading {
  /** 36 cells, 1 white. */
  readonly cells: Uint8Array;
  /** White less black in the middle of the mark, in the sampler's unit. */
  readonly contrast: number;
  /** Border cells that are not black, of 28, and places around the mark that are not white, of 32. */
  readonly badBorder: number;
  readonly badAround: number;
  /** Least distance of a cell from the middle between black and white, as a part of the contrast, the worst two left out. */
  readonly clearance: number;
}

/** Three by three samples over the middle of a cell, as parts of a cell. */
const SPREAD = 0.22;
/** Where white is looked for: this far outside, cells. The quiet zone is 1.25 cells wide. */
const OUTSIDE = 0.62;

/**
 * Reads the field inside a square. Black is taken from the border and white from around the mark, both as planes, so
 * that light falling off across the mark does no harm.
 * @returns null when part of the mark is out of the picture, or nothing in it is brighter than its border.
 */
export function readField(sample: Sampler, toPhoto: Homography): FieldReading | null {
  const at = (X: number, Y: number): number => {
    const p = applyHomography(toPhoto, { X, Y });
    return sample(p.x, p.y);
  };
  const cell = (X: number, Y: number): number => {
    let s = 0;
    for (let i = -1; i <= 1; i++) for (let j = -1; j <= 1; j++) s += at(X + i * SPREAD, Y + j * SPREAD);
    return s / 9;
  };
  const border: [number, number, number][] = [];
  const around: [number, number, number][] = [];
  for (let k = 0; k < MARK_CELLS; k++) {
    const m = k + 0.5;
    const far = MARK_CELLS - 0.5;
    for (const [X, Y] of [
      [m, 0.5],
      [m, far],
      [0.5, m],
      [far, m],
    ] as const) {
      // The four corner cells come up twice; once is enough.
      if ((X === 0.5 || X === far) && (Y === 0.5 || Y === far) && X !== m) continue;
      border.push([X, Y, cell(X, Y)]);
    }
    for (const [X, Y] of [
      [m, -OUTSIDE],
      [m, MARK_CELLS + OUTSIDE],
      [-OUTSIDE, m],
      [MARK_CELLS + OUTSIDE, m],
    ] as const) {
      around.push([X, Y, at(X, Y)]);
    }
  }
  if (border.some((b) => Number.isNaN(b[2])) || around.some((a) => Number.isNaN(a[2]))) return null;
  const black = fitPlane(border);
  const white = fitPlane(around);
  const middle = MARK_CELLS / 2;
  const contrast = white(middle, middle) - black(middle, middle);
  if (!(contrast > 0)) return null;
  const part = (X: number, Y: number, v: number): number => {
    const b = black(X, Y);
    return (v - b) / Math.max(white(X, Y) - b, 0.1 * contrast);
  };
  const cells = new Uint8Array(FIELD_CELLS * FIELD_CELLS);
  const clear: number[] = [];
  for (let r = 0; r < FIELD_CELLS; r++) {
    for (let c = 0; c < FIELD_CELLS; c++) {
      const t = part(c + 1.5, r + 1.5, cell(c + 1.5, r + 1.5));
      cells[r * FIELD_CELLS + c] = t > 0.5 ? 1 : 0;
      clear.push(Math.abs(t - 0.5));
    }
  }
  clear.sort((a, b) => a - b);
  return {
    cells,
    contrast,
    badBorder: border.filter(([X, Y, v]) => part(X, Y, v) > 0.5).length,
    badAround: around.filter(([X, Y, v]) => part(X, Y, v) < 0.5).length,
    clearance: clear[2]!,
  };
}

/** Least-squares plane v = a + b X + c Y through samples placed symmetrically about the mark's middle. */
function fitPlane(samples: readonly (readonly [number, number, number])[]): (X: number, Y: number) => number {
  const m = MARK_CELLS / 2;
  let s = 0;
  let sx = 0;
  let sy = 0;
  let xx = 0;
  let yy = 0;
  for (const [X, Y, v] of samples) {
    s += v;
    sx += (X - m) * v;
    sy += (Y - m) * v;
    xx += (X - m) ** 2;
    yy += (Y - m) ** 2;
  }
  const mean = s / samples.length;
  return (X, Y) => mean + (sx / xx) * (X - m) + (sy / yy) * (Y - m);
}
