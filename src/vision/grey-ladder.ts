import type { BoardPoint } from '../core/frames.ts';
import { applyHomography, fitHomography } from '../core/geometry/homography.ts';
import type { Raster } from '../core/raster.ts';
import type { FoundMark } from './find-marks.ts';
import { PAPER_REFLECTANCE, sheetDesign } from './mark-design.ts';
import { sheetPoints } from './sheet-bodies.ts';

/** One grey step as the photo shows it: coded levels of 0 to 255, BT.709 weights of the coded colours. */
export interface GreyStep {
  /** Nominal reflectance, and that of paper: print is not calibrated, so this is a hint at the tone curve, no more. */
  readonly reflectance: number;
  readonly paperReflectance: number;
  readonly level: number;
  /** Paper right beside the step, under the same light. */
  readonly paperLevel: number;
  /** Standard deviation of the levels inside the step, and how many pixels. */
  readonly spread: number;
  readonly pixels: number;
  readonly clipped: boolean;
}

/** Fewer pixels than this in a step are not worth reading. */
const LEAST_PIXELS = 12;

/**
 * Reads the grey steps of a sheet from a photo in which at least two of its marks were found.
 * @returns up to ten steps (five, twice, in opposite order), those with too few pixels left out; empty when fewer than
 *   two marks of the sheet are known or they are mirrored.
 */
export function readGreyLadder(
  raster: Raster,
  found: readonly FoundMark[],
  sheet: number,
): readonly GreyStep[] {
  const marks = found.filter((m) => m.sheet === sheet && !m.mirrored);
  if (marks.length < 2) return [];
  const points = marks.flatMap((m) => sheetPoints(m, 1));
  const toPhoto = fitHomography(
    points.map((p) => p.local),
    points.map((p) => p.photo),
  );
  if (toPhoto === null) return [];
  const spot = (centre: BoardPoint, w: number, h: number): Spot =>
    readSpot(
      raster,
      [
        [-1, 1],
        [1, 1],
        [1, -1],
        [-1, -1],
      ].map(([a, b]) => applyHomography(toPhoto, { X: centre.X + (a! * w) / 2, Y: centre.Y + (b! * h) / 2 })),
    );
  return sheetDesign(sheet, 'a4').greyPatches.flatMap((p): GreyStep[] => {
    // The middle of the step, clear of its blurred edges; paper on its outer side, 5 mm wide.
    const inner = spot(p.centre, 0.6 * p.widthMm, 0.6 * p.heightMm);
    const beside = spot(
      { X: p.centre.X + Math.sign(p.centre.X) * (p.widthMm / 2 + 7), Y: p.centre.Y },
      5,
      0.8 * p.heightMm,
    );
    if (inner.n < LEAST_PIXELS || beside.n < LEAST_PIXELS / 2) return [];
    return [
      {
        reflectance: p.reflectance,
        paperReflectance: PAPER_REFLECTANCE,
        level: inner.mean,
        paperLevel: beside.mean,
        spread: inner.spread,
        pixels: inner.n,
        clipped: inner.clipped || beside.clipped,
      },
    ];
  });
}

interface Spot {
  readonly n: number;
  readonly mean: number;
  readonly spread: number;
  readonly clipped: boolean;
}

/** Mean level inside a convex quadrilateral of the photo. */
function readSpot(raster: Raster, corners: readonly { readonly x: number; readonly y: number }[]): Spot {
  const { width, height, channels, data, maxLevel } = raster;
  const y0 = Math.max(0, Math.ceil(Math.min(...corners.map((c) => c.y))));
  const y1 = Math.min(height - 1, Math.floor(Math.max(...corners.map((c) => c.y))));
  const full = 0.99 * maxLevel;
  let n = 0;
  let sum = 0;
  let squares = 0;
  let clipped = false;
  for (let y = y0; y <= y1; y++) {
    let left = Number.NEGATIVE_INFINITY;
    let right = Number.POSITIVE_INFINITY;
    // Clockwise on the screen: inside is to the right of every side.
    for (let i = 0; i < corners.length; i++) {
      const a = corners[i]!;
      const b = corners[(i + 1) % corners.length]!;
      const dy = b.y - a.y;
      const x = a.x + ((y - a.y) * (b.x - a.x)) / dy;
      if (dy < 0) left = Math.max(left, x);
      else if (dy > 0) right = Math.min(right, x);
    }
    for (let x = Math.max(0, Math.ceil(left)); x <= Math.min(width - 1, Math.floor(right)); x++) {
      const i = (y * width + x) * channels;
      const level = ((0.2126 * data[i]! + 0.7152 * data[i + 1]! + 0.0722 * data[i + 2]!) * 255) / maxLevel;
      n++;
      sum += level;
      squares += level * level;
      if (data[i]! >= full || data[i + 1]! >= full || data[i + 2]! >= full) clipped = true;
    }
  }
  const mean = n > 0 ? sum / n : Number.NaN;
  return { n, mean, spread: n > 1 ? Math.sqrt(Math.max(0, squares / n - mean * mean)) : 0, clipped };
}
