import { Matrix, solve } from 'ml-matrix';

/** A frame's exposure as its file states it. */
export interface StatedExposure {
  /** s·ISO/N²; null when the file does not say. */
  readonly exposure: number | null;
}

/** Two frames compared where both show the light well: ln(light of b / light of a), in shares of their full scales. */
export interface Overlap {
  readonly a: number;
  readonly b: number;
  readonly lnRatio: number;
  readonly u: number;
}

export interface FrameGains {
  /** ln of each frame's exposure, s·ISO/N². */
  readonly ln: readonly number[];
  /** Covariance of those. */
  readonly covariance: (i: number, j: number) => number;
}

/**
 * Two files' exposures are off from each other by some 5 % (rounded times, lens and sensor speeds; design 4): 3.5 % each.
 * Photos of one setting share that error, and differ by what a shutter repeats to.
 */
const SETTING_U = 0.035;
const REPEAT_U = 0.007;
/** A file that does not say: anything from a hundredth to a hundred times. */
const UNSTATED_U = 2.5;

/**
 * Each frame's true exposure: what the files say is the prior, what frames show of the same light refines it.
 *
 * @param frames at least one. @param overlaps any number of comparisons, also none.
 * @returns the least-squares estimate and its covariance (JCGM 100, 5.2; a linear model, so exact).
 */
export function solveGains(frames: readonly StatedExposure[], overlaps: readonly Overlap[]): FrameGains {
  const n = frames.length;
  const known = frames.flatMap((f) => (f.exposure === null ? [] : [Math.log(f.exposure)]));
  const middle = known.length > 0 ? known.reduce((s, x) => s + x, 0) / known.length : 0;
  const prior = frames.map((f) => (f.exposure === null ? middle : Math.log(f.exposure)));
  const spread = Matrix.zeros(n, n);
  for (let i = 0; i < n; i++) {
    for (let j = 0; j < n; j++) {
      const stated = frames[i]!.exposure !== null && frames[j]!.exposure !== null;
      const sameSetting = i === j || (stated && Math.abs(prior[i]! - prior[j]!) < 0.005);
      let v = sameSetting ? (stated ? SETTING_U : UNSTATED_U) ** 2 : 0;
      if (i === j) v += REPEAT_U ** 2;
      spread.set(i, j, v);
    }
  }
  const weight = solve(spread, Matrix.eye(n));
  const right = weight.mmul(Matrix.columnVector(prior)).to1DArray();
  for (const { a, b, lnRatio, u } of overlaps) {
    const w = 1 / (u * u);
    for (const [k, sign] of [
      [a, -1],
      [b, 1],
    ] as const) {
      right[k]! += sign * w * lnRatio;
      for (const [l, other] of [
        [a, -1],
        [b, 1],
      ] as const)
        weight.set(k, l, weight.get(k, l) + sign * other * w);
    }
  }
  const covariance = solve(weight, Matrix.eye(n));
  return {
    ln: covariance.mmul(Matrix.columnVector(right)).to1DArray(),
    covariance: (i, j) => covariance.get(i, j),
  };
}

/** Standard uncertainty of ln(exposure of i / exposure of j). */
export function ratioU(gains: FrameGains, i: number, j: number): number {
  const c = gains.covariance;
  return Math.sqrt(Math.max(0, c(i, i) + c(j, j) - 2 * c(i, j)));
}
