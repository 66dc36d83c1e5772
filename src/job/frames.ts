import type { LightGrid } from '../core/sampling/light-grid.ts';

/** How one frame of a bracket is exposed where it matters. */
export interface FrameLight {
  readonly path: string;
  /** Share of known cells that are burnt out. */
  readonly clippedShare: number;
  /** The 99.5th percentile of the light, share of full scale. */
  readonly peak: number;
}

/** Burnt-out part of the board up to which a picture shows the beam best: the hot spot alone. */
const MOST_CLIPPED = 0.04;

/** How a frame is exposed over the board. */
export function frameLight(path: string, grid: LightGrid): FrameLight {
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
  return { path, clippedShare: known === 0 ? 0 : clipped / known, peak: peakOf(histogram, known) };
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
 * The frame to show the person: the longest exposure that burns out no more than the hot spot. All frames are measured.
 */
export function frameToShow(frames: readonly FrameLight[]): FrameLight {
  const fit = frames.filter((f) => f.clippedShare <= MOST_CLIPPED);
  if (fit.length === 0) return least(frames, (f) => f.clippedShare);
  return least(fit, (f) => -(f.peak + f.clippedShare));
}

function least(frames: readonly FrameLight[], of: (frame: FrameLight) => number): FrameLight {
  return frames.reduce((best, frame) => (of(frame) < of(best) ? frame : best));
}
