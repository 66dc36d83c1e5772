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
  /** Border cells that are not black, of 32 looked at (corners twice), and places around the mark that are not white, of 32. */
  readonly badBorder: number;
  readonly badAround: number;
}

/** Three by three samples over the middle of a cell, as parts of a cell. */
const SPREAD = 0.22;
/** Where white is looked for: this far outside, cells. The quiet zone is 1.25 cells wide. */
const OUTSIDE = 0.62;

/** How black and white between border and surroundings are filled in. */
export type LightModel = 'plane' | 'step';

/**
 * Reads the field inside a square. Black is taken from the border and white from around the mark: as planes, which is
 * best in noise; or ('step') carried inwards from all four sides as factors, for a mark that the cut-off runs through.
 * @returns null when part of the mark is out of the picture, or nothing in it is brighter than its border.
 */
export function readField(sample: Sampler, toPhoto: Homography, light: LightModel): FieldReading | null {
  const at = (X: number, Y: number): number => {
    const p = applyHomography(toPhoto, { X, Y });
    return sample(p.x, p.y);
  };
  const cell = (X: number, Y: number): number => {
    let s = 0;
    for (let i = -1; i <= 1; i++) for (let j = -1; j <= 1; j++) s += at(X + i * SPREAD, Y + j * SPREAD);
    return s / 9;
  };
  const border = ringOf(0.5, cell);
  const around = ringOf(-OUTSIDE, at);
  const all = [...border.samples, ...around.samples];
  if (all.some((v) => Number.isNaN(v[2]))) return null;
  const black = light === 'plane' ? fitPlane(border.samples) : carryInwards(border);
  const white = light === 'plane' ? fitPlane(around.samples) : carryInwards(around);
  const middle = MARK_CELLS / 2;
  const contrast = white(middle, middle) - black(middle, middle);
  if (!(contrast > 0)) return null;
  const part = (X: number, Y: number, v: number): number => {
    const b = black(X, Y);
    return (v - b) / Math.max(white(X, Y) - b, (light === 'plane' ? 0.1 : 0.003) * contrast);
  };
  const cells = new Uint8Array(FIELD_CELLS * FIELD_CELLS);
  for (let r = 0; r < FIELD_CELLS; r++) {
    for (let c = 0; c < FIELD_CELLS; c++) {
      const t = part(c + 1.5, r + 1.5, cell(c + 1.5, r + 1.5));
      cells[r * FIELD_CELLS + c] = t > 0.5 ? 1 : 0;
    }
  }
  // Black carried in from the border can't judge the border: there white from outside is the measure.
  const borderPart = (X: number, Y: number, v: number): number =>
    light === 'plane' ? part(X, Y, v) : v / Math.max(white(X, Y), 1e-9);
  const aroundPart = (X: number, Y: number, v: number): number =>
    light === 'plane' ? part(X, Y, v) : v / Math.max(2 * black(X, Y), 1e-9);
  return {
    cells,
    contrast,
    badBorder: border.samples.filter(([X, Y, v]) => borderPart(X, Y, v) > 0.5).length,
    badAround: around.samples.filter(([X, Y, v]) => aroundPart(X, Y, v) < 0.5).length,
  };
}

/** Samples along the four sides of a square that stands `inset` cells inside the mark's outline. */
interface Ring {
  readonly inset: number;
  readonly samples: readonly (readonly [number, number, number])[];
  /** Values at k + 0.5 cells along each side. */
  readonly top: readonly number[];
  readonly bottom: readonly number[];
  readonly left: readonly number[];
  readonly right: readonly number[];
}

function ringOf(inset: number, value: (X: number, Y: number) => number): Ring {
  const far = MARK_CELLS - inset;
  const along = Array.from({ length: MARK_CELLS }, (_, k) => k + 0.5);
  const top = along.map((m) => value(m, inset));
  const bottom = along.map((m) => value(m, far));
  const left = along.map((m) => value(inset, m));
  const right = along.map((m) => value(far, m));
  const samples = along.flatMap((m, k): [number, number, number][] => [
    [m, inset, top[k]!],
    [m, far, bottom[k]!],
    [inset, m, left[k]!],
    [far, m, right[k]!],
  ]);
  return { inset, samples, top, bottom, left, right };
}

/**
 * The surface that meets the ring on all four sides (a Coons patch), in logarithms: exact for any light that is a
 * function across times a function down.
 */
function carryInwards(ring: Ring): (X: number, Y: number) => number {
  const log = (side: readonly number[]): number[] => side.map((v) => Math.log(Math.max(v, 1e-5)));
  const [top, bottom, left, right] = [ring.top, ring.bottom, ring.left, ring.right].map(log) as [
    number[],
    number[],
    number[],
    number[],
  ];
  const last = MARK_CELLS - 1;
  const corner = (a: number, b: number): number => (a + b) / 2;
  const c00 = corner(top[0]!, left[0]!);
  const c10 = corner(top[last]!, right[0]!);
  const c01 = corner(bottom[0]!, left[last]!);
  const c11 = corner(bottom[last]!, right[last]!);
  const on = (side: readonly number[], p: number): number => {
    const f = Math.min(Math.max(p - 0.5, 0), last);
    const i = Math.min(Math.floor(f), last - 1);
    return side[i]! + (f - i) * (side[i + 1]! - side[i]!);
  };
  const span = MARK_CELLS - 2 * ring.inset;
  return (X, Y) => {
    const u = (X - ring.inset) / span;
    const v = (Y - ring.inset) / span;
    const sides = (1 - u) * on(left, Y) + u * on(right, Y) + (1 - v) * on(top, X) + v * on(bottom, X);
    const corners = (1 - u) * (1 - v) * c00 + u * (1 - v) * c10 + (1 - u) * v * c01 + u * v * c11;
    return Math.exp(sides - corners);
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
