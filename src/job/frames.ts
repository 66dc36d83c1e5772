import type { Registration } from '../core/board-view.ts';
import type { LampView } from '../core/lamp-view.ts';
import type { ToneParams } from '../core/photometry/tone-response.ts';
import type { PhotoFacts, Raster } from '../core/raster.ts';
import type { LightGrid } from '../core/sampling/light-grid.ts';
import { type BoardExtent, sampleLightGrid } from '../core/sampling/sample-grid.ts';

/** How one frame of a bracket is exposed where it matters. */
export interface FrameLight {
  readonly path: string;
  readonly grid: LightGrid;
  /** A photo with the lamps off was taken away. */
  readonly roomLightOut: boolean;
  /** Share of known cells that are burnt out. */
  readonly clippedShare: number;
  /** The 99.5th percentile of the light, share of full scale. */
  readonly peak: number;
}

/** Burnt-out part of the board up to which the cut-off only gains: the hot spot alone. */
const MOST_CLIPPED = 0.04;
/** Below this share nothing counts as burnt out: single hot pixels. */
const LEAST_CLIPPED = 0.0005;

/** The light of one frame as the lamp sees the board. */
export function frameLight(
  path: string,
  raster: Raster,
  registration: Pick<Registration, 'view' | 'printedAreas'>,
  view: LampView,
  extent: BoardExtent | null,
  lampsOff: Raster | null,
  tone: ToneParams,
): FrameLight {
  const grid = sampleLightGrid(raster, registration, view, { extent, lampsOff, tone });
  // A histogram of 1000 steps: the choice of a frame needs no more, and sorting would cost as much as the sampling.
  const histogram = new Uint32Array(1001);
  let known = 0;
  let clipped = 0;
  for (let i = 0; i < grid.light.length; i++) {
    const light = grid.light[i]!;
    if (!Number.isFinite(light)) continue;
    known++;
    const step = Math.floor(1000 * Math.min(1, Math.max(0, light)));
    histogram[step] = histogram[step]! + 1;
    if (grid.clipped[i]! > 0.5) clipped++;
  }
  return {
    path,
    grid,
    roomLightOut: lampsOff !== null,
    clippedShare: known === 0 ? 0 : clipped / known,
    peak: peakOf(histogram, known),
  };
}

/** The 99.5th percentile. */
function peakOf(histogram: Uint32Array, known: number): number {
  let above = 0;
  for (let step = 1000; step > 0; step--) {
    above += histogram[step]!;
    if (above > 0.005 * known) return step / 1000;
  }
  return 0;
}

/**
 * The frame to read the cut-off in: the longest exposure that burns out no more than the hot spot, since the edge lies
 * at 6 to 8 % of the peak and a camera's curve bends darker light (design 4).
 */
export function frameForCutOff(frames: readonly FrameLight[]): FrameLight {
  const fit = frames.filter((f) => f.clippedShare <= MOST_CLIPPED);
  if (fit.length === 0) return least(frames, (f) => f.clippedShare);
  return least(fit, (f) => -(f.peak + f.clippedShare));
}

/** The frame to read the hot spot in: the brightest with nothing burnt out, else the one that burns out least. */
export function frameForHotSpot(frames: readonly FrameLight[]): FrameLight {
  const clean = frames.filter((f) => f.clippedShare <= LEAST_CLIPPED);
  if (clean.length === 0) return least(frames, (f) => f.clippedShare);
  return least(clean, (f) => -f.peak);
}

function least(frames: readonly FrameLight[], of: (frame: FrameLight) => number): FrameLight {
  return frames.reduce((best, frame) => (of(frame) < of(best) ? frame : best));
}

/** EXIF exposure as one number, s·ISO/N²; null when the file does not say. */
export function exposureOf(facts: PhotoFacts): number | null {
  const { exposureS, iso, fNumber } = facts;
  return exposureS === null || iso === null || fNumber === null ? null : (exposureS * iso) / fNumber ** 2;
}
