import { type EdgeShape, shapeLog } from '../joint/edge-shape.ts';
import type { JointReading } from '../joint/joint-reading.ts';

/** How sharp the edge is as seen from far, and within what the ways of filling leave open. */
export interface Softness {
  /** Greatest fall of log10 light over 0.1 deg. */
  readonly g: Span;
  /** Height over which the light falls from three quarters to one quarter of its brightest below, deg. */
  readonly widthDeg: Span;
}

export interface Span {
  readonly mean: number;
  readonly least: number;
  readonly most: number;
}

/** Ways of filling less likely than this do not widen the interval. */
const UNLIKELY = 0.03;
const STEP = 0.02;

/**
 * Sharpness of the far edge behind the smear of near field, from the joint fit: a large lamp close to the board looks
 * soft without being so.
 * @see UN R112 cut-off annex: G = log10 E(b) - log10 E(b + 0.1 deg), at least 0.13 (standards G-1, G-3).
 */
export function softnessOf(joint: JointReading): Softness {
  const all = joint.fillings.map(({ fit, weight }) => ({ ...sharpness(fit.shape), weight }));
  return { g: spanOf(all, (s) => s.g), widthDeg: spanOf(all, (s) => s.widthDeg) };
}

type Weighed = ReturnType<typeof sharpness> & { readonly weight: number };

function spanOf(all: readonly Weighed[], of: (s: Weighed) => number): Span {
  const likely = all.filter((s) => s.weight >= UNLIKELY).map(of);
  return {
    mean: all.reduce((sum, s) => sum + s.weight * of(s), 0),
    least: Math.min(...likely),
    most: Math.max(...likely),
  };
}

/** Greatest fall of log10 light over 0.1 deg, and the fall's width in linear light, deg. */
export function sharpness(shape: EdgeShape): { readonly g: number; readonly widthDeg: number } {
  const reach = 3;
  const log = new Float64Array(Math.round((2 * reach) / STEP) + 1);
  shapeLog({ ...shape, at: 0 }, -reach, STEP, log);
  const steps = Math.round(0.1 / STEP);
  let g = 0;
  let steepest = 0;
  for (let i = 0; i + steps < log.length; i++) {
    const fall = log[i]! - log[i + steps]!;
    if (fall > g) {
      g = fall;
      steepest = i;
    }
  }
  // From the steepest place down to the brightest, at most 2 deg below it.
  let bright = steepest;
  for (let i = steepest; i >= Math.max(0, steepest - Math.round(2 / STEP)); i--)
    if (log[i]! > log[bright]!) bright = i;
  const reaches = (share: number): number => {
    let i = bright;
    while (i < log.length - 1 && log[i]! > log[bright]! + Math.log10(share)) i++;
    return i;
  };
  return { g, widthDeg: (reaches(0.25) - reaches(0.75)) * STEP };
}
