import type { BoardPoint, PhotoPoint } from '../core/frames.ts';
import { applyHomography, fitHomography } from '../core/geometry/homography.ts';
import type { PrintPair } from '../core/photometry/tone-fit.ts';
import { linearTable, srgbFromLinear } from '../core/photometry/transfer-curve.ts';
import type { Raster } from '../core/raster.ts';
import type { FoundMark } from './find-marks.ts';
import type { LightAround } from './light-around.ts';
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
  /** Mean green of the step and of its paper, linear by plain sRGB, and the relative standard deviation of pixels. */
  readonly light: number;
  readonly paperLight: number;
  readonly grain: number;
  /** The step's middle. */
  readonly at: PhotoPoint;
}

/** Fewer pixels than this in a step are not worth reading. */
const LEAST_PIXELS = 6;

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
  // Blur of an edge is felt as far as 2.5 of its standard deviations.
  const [here, mmOn] = [0, 1].map((X) => applyHomography(toPhoto, { X, Y: 0 })) as [PhotoPoint, PhotoPoint];
  const blurMm =
    (2.5 * Math.max(...marks.map((m) => m.blurPx))) / Math.hypot(mmOn.x - here.x, mmOn.y - here.y);
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
    const clear = (mm: number) => mm - 2 * Math.min(0.38 * mm, Math.max(0.2 * mm, blurMm));
    const inner = spot(p.centre, clear(p.widthMm), clear(p.heightMm));
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
        light: inner.light,
        paperLight: beside.light,
        grain: inner.grain,
        at: applyHomography(toPhoto, p.centre),
      },
    ];
  });
}

/** Rounding to 8 bits and the compression's own leave this of a mean level, standard uncertainty, levels of 255. */
const ROUNDING_LEVELS = 0.15;

/**
 * Relative standard uncertainty of a mean of linear light (plain sRGB, 0 to 1) that many pixels do not lessen: rounding of
 * the coded level, and noise that is cut off at black or bent by a response that is not sRGB's.
 *
 * @param grain relative standard deviation of the single pixels.
 */
export function levelDoubt(light: number, grain: number): number {
  const coded = srgbFromLinear(light);
  // sRGB above its straight foot is nearly a power of 2.2. A response steeper or flatter by a quarter moves the mean of
  // noisy light by a tenth of the noise squared; what is cut off at black rises steeply from noise of 40 % on.
  const rounded = (2.2 * ROUNDING_LEVELS) / Math.max(1, 255 * coded);
  return Math.hypot(rounded, 0.1 * grain ** 2, 0.15 * Math.max(0, grain - 0.4));
}

/** A sheet's grey steps as pairs with the paper beside them, those burnt out left out. */
export function ladderPairs(
  raster: Raster,
  found: readonly FoundMark[],
  sheet: number,
  around: LightAround,
): readonly PrintPair[] {
  return readGreyLadder(raster, found, sheet).flatMap((s): PrintPair[] => {
    if (s.paperLight > 0.95 || !(s.light > 0)) return [];
    return [
      {
        white: s.paperLight,
        dark: s.light,
        u: Math.hypot(s.grain / Math.sqrt(s.pixels), levelDoubt(s.light, s.grain), STEP_UNEVEN),
        reflectance: s.reflectance / s.paperReflectance,
        around: around(s.at.x, s.at.y),
      },
    ];
  });
}

/** Light changes over the 17 mm between a step and its paper by some such share. */
const STEP_UNEVEN = 0.01;

interface Spot {
  readonly n: number;
  readonly mean: number;
  readonly spread: number;
  readonly clipped: boolean;
  readonly light: number;
  readonly grain: number;
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
  let light = 0;
  let lights = 0;
  let clipped = false;
  const table = linearTable(maxLevel);
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
      const green = table[data[i + 1]!]!;
      light += green;
      lights += green * green;
      n++;
      sum += level;
      squares += level * level;
      if (data[i]! >= full || data[i + 1]! >= full || data[i + 2]! >= full) clipped = true;
    }
  }
  const mean = n > 0 ? sum / n : Number.NaN;
  const meanLight = light / n;
  return {
    n,
    mean,
    spread: n > 1 ? Math.sqrt(Math.max(0, squares / n - mean * mean)) : 0,
    clipped,
    light: meanLight,
    grain: Math.sqrt(Math.max(0, lights / n / meanLight ** 2 - 1)),
  };
}
