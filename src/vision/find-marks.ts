import type { PhotoPoint } from '../core/frames.ts';
import { composeHomography, type Homography } from '../core/geometry/homography.ts';
import type { Raster } from '../core/raster.ts';
import { darkOutlines } from './dark-outlines.ts';
import { fitMark, type MarkFit } from './fit-mark.ts';
import { halfSize, halveAgain, type LevelPlane } from './level-plane.ts';
import { bilinear, type LinearSource, levelFromLinear, photoSource, planeSource } from './linear-source.ts';
import { type FieldMatch, matchField } from './mark-codes.ts';
import { sheetOfIdentity } from './mark-design.ts';
import { outlineQuad } from './outline-quad.ts';
import { markHomography, readField, type Sampler } from './read-field.ts';

/** One printed mark found in a photo. */
export interface FoundMark {
  readonly identity: number;
  readonly sheet: number;
  /** Place on the sheet: 0 upper left, 1 upper right, 2 lower right, 3 lower left. */
  readonly place: number;
  /** Seen as in a mirror: the photo, or what the camera saw, has left and right swapped. */
  readonly mirrored: boolean;
  /** Outer corners of the upright mark, upper left, upper right, lower right, lower left, photo px. */
  readonly corners: readonly [PhotoPoint, PhotoPoint, PhotoPoint, PhotoPoint];
  /** Standard uncertainty of a corner's x or y, px. */
  readonly uPx: number;
  /** White less black, levels of 255, in the middle of the mark. */
  readonly contrastLevels: number;
  /** Blur of the print in the photo, standard deviation, px. */
  readonly blurPx: number;
  /** Cells misread and mended. */
  readonly wrongCells: number;
}

/** An outline as small as this is still tried, plane px (twice as many in the photo). */
const LEAST_SIDE = 10;
/** Area over squared length of an outline: a square has 1/16, a slanted 3:1 lozenge about 1/36. */
const LEAST_FILL = 0.018;
interface ReadLimits {
  /** Cells that may differ from the code book. */
  readonly wrong: number;
  /** Border places that may look white, and places around that may look black, of 32 each. */
  readonly border: number;
  readonly around: number;
}
/** At first sight in a small copy, and at last in the photo itself. */
const FIRST: ReadLimits = { wrong: 3, border: 8, around: 10 };
const LAST: ReadLimits = { wrong: 1, border: 2, around: 4 };
/** Smaller copies than this hold no mark that the larger ones lack. */
const LEAST_PLANE = 150;

/**
 * All printed marks in a photo, as exactly as the photo allows.
 *
 * Dark outlines in copies of half, quarter, ... size; four-sided ones are read against the code book; each hit's whole
 * pattern is then fitted to the photo's own pixels and read again, strictly. A mark must show at least some 20 px
 * across and 5 levels of contrast; a code is never guessed: what differs in 2 cells or more is left out.
 *
 * @param raster the upright photo, 8 or 16 bit.
 * @returns the marks by identity; empty when there are none. The same identity twice means two prints or a reflection.
 */
export function findMarks(raster: Raster): readonly FoundMark[] {
  const photo = photoSource(raster);
  const planes: LevelPlane[] = [];
  const found: { mark: FoundMark; size: number }[] = [];
  let plane = halfSize(raster);
  while (Math.min(plane.width, plane.height) >= LEAST_PLANE || planes.length === 0) {
    planes.push(plane);
    const half = halveAgain(plane);
    const sample = bilinear(planeSource(plane));
    for (const outline of darkOutlines(plane, half, { leastSide: LEAST_SIDE, leastFill: LEAST_FILL })) {
      const quad = outlineQuad(outline);
      if (quad === null) continue;
      // Outline corners are pixel corners; half a pixel brings them to pixel centres.
      const corners = quad.map((p) => ({ x: p.x - 0.5, y: p.y - 0.5 }));
      const middle = photoPoint(plane, meanOf(corners));
      const size = Math.sqrt(outline.area) * plane.step;
      if (found.some((f) => isSame(f, middle, size))) continue;
      const toPlane = markHomography(corners);
      if (toPlane === null) continue;
      const match = recognise(sample, toPlane, FIRST);
      if (match === null) continue;
      const mark = measure(photo, planes, toPlane, match);
      if (mark !== null) found.push({ mark, size });
    }
    plane = half;
  }
  return found.map((f) => f.mark).sort((a, b) => a.identity - b.identity);
}

/** The code that stands there, if border and surroundings look like a mark's: under even light, else under a step of it. */
function recognise(sample: Sampler, toPicture: Homography, limits: ReadLimits): FieldMatch | null {
  for (const light of ['plane', 'step'] as const) {
    const reading = readField(sample, toPicture, light);
    if (reading === null) return null;
    if (reading.badBorder > limits.border || reading.badAround > limits.around) continue;
    const match = matchField(reading.cells, limits.wrong);
    if (match !== null) return match;
  }
  return null;
}

/** Fits the pattern, in steps of four from the copy it was found in to the photo, and reads it again there. */
function measure(
  photo: LinearSource,
  planes: readonly LevelPlane[],
  toPlane: Homography,
  match: FieldMatch,
): FoundMark | null {
  let level = planes.length - 1;
  let place = toPlane;
  let fit: MarkFit | null = null;
  while (level > 0) {
    // Copies of quarter size and less: first exact there, so that the next start is within the blur.
    fit = fitMark(planeSource(planes[level]!), place, match.expected, 0.9);
    if (fit === null) return null;
    const next = Math.max(level - 2, -1);
    place = rescaled(fit.toPhoto, planes[level]!.step, next < 0 ? 1 : planes[next]!.step);
    level = next;
  }
  if (level === 0) place = rescaled(place, planes[0]!.step, 1);
  fit = fitMark(photo, place, match.expected, 1.3);
  if (fit === null || fit.uPx > 1) return null;
  const again = recognise(bilinear(photo), fit.toPhoto, LAST);
  if (again === null || again.identity !== match.identity || again.mirrored !== match.mirrored) return null;
  const [a, b, c, d] = match.corners;
  const { sheet, place: onSheet } = sheetOfIdentity(match.identity);
  return {
    identity: match.identity,
    sheet,
    place: onSheet,
    mirrored: match.mirrored,
    corners: [fit.corners[a]!, fit.corners[b]!, fit.corners[c]!, fit.corners[d]!],
    uPx: fit.uPx,
    contrastLevels: levelFromLinear(fit.whiteLevel) - levelFromLinear(fit.blackLevel),
    blurPx: fit.blurPx,
    wrongCells: again.wrongCells,
  };
}

/** Mark frame to a picture of another step: pixel (i) of step s has its centre at (i + 0.5) s - 0.5 of the photo. */
function rescaled(h: Homography, from: number, to: number): Homography {
  const k = from / to;
  const shift = 0.5 * k - 0.5;
  return composeHomography([k, 0, shift, 0, k, shift, 0, 0, 1], h);
}

function photoPoint(plane: LevelPlane, p: PhotoPoint): PhotoPoint {
  return { x: (p.x + 0.5) * plane.step - 0.5, y: (p.y + 0.5) * plane.step - 0.5 };
}

function meanOf(points: readonly PhotoPoint[]): PhotoPoint {
  return {
    x: points.reduce((s, p) => s + p.x, 0) / points.length,
    y: points.reduce((s, p) => s + p.y, 0) / points.length,
  };
}

function isSame(f: { mark: FoundMark; size: number }, middle: PhotoPoint, size: number): boolean {
  const m = meanOf(f.mark.corners);
  return Math.hypot(m.x - middle.x, m.y - middle.y) < 0.4 * Math.max(f.size, size);
}
