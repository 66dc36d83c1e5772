import { removeContrast } from './contrast-curve.ts';
import { linearFromSrgb, srgbFromLinear } from './transfer-curve.ts';

/** White and black of one printed mark as the photo shows them, linear by plain sRGB, 0 to 1. */
export interface PrintPair {
  readonly white: number;
  readonly black: number;
  /** Relative standard uncertainty of black over white. */
  readonly u: number;
}

export interface ContrastFit {
  /** As addContrast takes it; 0 is plain sRGB. */
  readonly strength: number;
  readonly u: number;
}

/** A photo whose marks tell nothing is read as plain sRGB, with this doubt. */
export const UNKNOWN_CONTRAST: ContrastFit = { strength: 0, u: 0.2 };
/** What is likely before the marks are looked at: phones add contrast more often than they take it. */
const LIKELY: ContrastFit = { strength: 0.05, u: 0.2 };

/** Print: black ink on white paper sends back 0.05 / 0.85, to some 30 % (common practice, no source). */
const PRINT_RATIO = 0.05 / 0.85;
const PRINT_RATIO_U = 0.3;
/** Veil of a phone's lens as a share of the mean light in the photo: most likely and doubt (common practice, no source). */
const VEIL = 0.006;
const VEIL_U = 0.008;
/**
 * Light spilt by the lens differs from place to place by this share of black (neighbouring marks share it), so the marks'
 * own scatter is not their doubt.
 */
const SPILL_U = 0.12;
/** Huber's bound, in a mark's own doubts. */
const MOST_DOUBTS = 2;
/** What one number leaves out of a real curve, as a share of it. */
const FORM_U = 0.3;

/**
 * How much contrast the camera added, from printed marks in unlike light: black over white must be the same number
 * everywhere, whatever that number is. An S-curve stretches it where black is dim and white is middling, and leaves it
 * where both are dim.
 *
 * @param pairs one per mark; clipped or nearly black ones left out by the caller.
 * @param meanLight mean linear light of the photo, in the pairs' unit: what the lens spreads a veil of.
 * @returns mean and standard deviation over all strengths, weighed by how well they fit and by what is likely.
 */
export function fitContrast(pairs: readonly PrintPair[], meanLight: number): ContrastFit {
  const useful = pairs.filter((p) => p.white > 0.004 && p.white < 0.97 && p.black > 0.0004);
  if (useful.length < 3) return UNKNOWN_CONTRAST;
  let sum = 0;
  let mean = 0;
  let square = 0;
  for (let s = -0.3; s <= 0.481; s += 0.02) {
    const light = useful.map((p) => ({
      white: linearFromSrgb(removeContrast(srgbFromLinear(p.white), s)),
      black: linearFromSrgb(removeContrast(srgbFromLinear(p.black), s)),
      u: p.u,
    }));
    let best = Number.POSITIVE_INFINITY;
    for (let k = 0; k <= 15; k++) {
      const veil = k * 0.002;
      best = Math.min(best, misfit(light, veil * meanLight) + ((veil - VEIL) / VEIL_U) ** 2);
    }
    const cost = best + ((s - LIKELY.strength) / LIKELY.u) ** 2;
    const weight = Math.exp(-cost / 2);
    sum += weight;
    mean += weight * s;
    square += weight * s * s;
  }
  if (!(sum > 0)) return UNKNOWN_CONTRAST;
  const strength = mean / sum;
  return {
    strength,
    u: Math.hypot(Math.sqrt(Math.max(0, square / sum - strength ** 2)), FORM_U * strength, 0.02),
  };
}

/**
 * Squared misfit of "black less veil over white is one number", that number free around what print usually has. One
 * mark with dirt or gloss on it must not decide: beyond two of its own doubts it counts by its distance, no more.
 */
function misfit(light: readonly PrintPair[], veil: number): number {
  const prior = 1 / PRINT_RATIO_U ** 2;
  const logs = light.map((p) => {
    const ratio = Math.max(1e-4, (p.black - veil) / Math.max(1e-6, p.white - veil));
    // Marks that the veil nearly drowns say little: their doubt grows with it.
    return { log: Math.log(ratio), u: Math.hypot(p.u, SPILL_U, (0.5 * veil) / Math.max(1e-6, p.black)) };
  });
  const sorted = logs.map((l) => l.log).sort((a, b) => a - b);
  let mean = sorted[sorted.length >> 1]!;
  for (let round = 0; round < 4; round++) {
    let weights = prior;
    let total = prior * Math.log(PRINT_RATIO);
    for (const { log, u } of logs) {
      const w = Math.min(1, MOST_DOUBTS / Math.max(1e-9, Math.abs(log - mean) / u)) / u ** 2;
      weights += w;
      total += w * log;
    }
    mean = total / weights;
  }
  let cost = prior * (mean - Math.log(PRINT_RATIO)) ** 2;
  for (const { log, u } of logs) {
    const z = Math.abs(log - mean) / u;
    cost += z <= MOST_DOUBTS ? z * z : MOST_DOUBTS * (2 * z - MOST_DOUBTS);
  }
  return cost;
}
