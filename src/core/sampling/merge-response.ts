import { EigenvalueDecomposition, Matrix } from 'ml-matrix';
import { fitLeastSquares } from '../geometry/least-squares.ts';
import type { StatedExposure } from '../photometry/merge-ratios.ts';
import type { ToneFit } from '../photometry/tone-fit.ts';
import { otherwiseRead, type ToneParams, toneShapes } from '../photometry/tone-response.ts';
import { linearFromSrgb, srgbFromLinear } from '../photometry/transfer-curve.ts';
import type { LightGrid } from './light-grid.ts';
import { median, sharedBlocks, usableCells } from './merge-overlap.ts';

/** The same light in two frames: coded values (0 to 1, plain sRGB), and how surely they belong together. */
export interface CodedPair {
  readonly a: number;
  readonly b: number;
  readonly codedA: number;
  readonly codedB: number;
  /** Standard uncertainty of ln of their light's ratio. */
  readonly u: number;
}

/** Light as plain sRGB that both frames must show to be compared, share of full scale. */
const RANGE: readonly [number, number] = [0.003, 0.9];
/** Steps of light in which cells of two frames are compared, and how many blocks each needs. */
const STEPS = 16;
const LEAST_IN_STEP = 25;
/** What a smooth response of few terms leaves of a camera's, ln. */
const FORM_U = 0.004;
/** As photometry/merge-ratios.ts: stated exposures of different settings, and of one setting again. */
const SETTING_U = 0.035;
const REPEAT_U = 0.007;
const UNSTATED_U = 2.5;

/**
 * Light of every two frames side by side, in steps of light.
 * @param frames grids read as plain sRGB, on the same cells.
 */
export function codedPairs(
  frames: readonly { readonly grid: LightGrid; readonly iso: number | null }[],
): CodedPair[] {
  const used = frames.map((f) => usableCells(f.grid));
  const pairs: CodedPair[] = [];
  for (let a = 0; a < frames.length; a++) {
    for (let b = a + 1; b < frames.length; b++) {
      // By the mean of both logs: by one frame's alone, its noise would lean every step the same way.
      const blocks = sharedBlocks({ ...frames[a]!, used: used[a]! }, { ...frames[b]!, used: used[b]! }, RANGE)
        .map((x) => ({ middle: x.lnLight, lnRatio: x.lnRatio }))
        .sort((x, y) => x.middle - y.middle);
      if (blocks.length < LEAST_IN_STEP) continue;
      const low = blocks[0]!.middle;
      const wide = (blocks[blocks.length - 1]!.middle - low) / STEPS + 1e-9;
      for (let s = 0; s < STEPS; s++) {
        const some = blocks.filter((x) => Math.floor((x.middle - low) / wide) === s);
        if (some.length < LEAST_IN_STEP) continue;
        const lnRatio = median(some.map((x) => x.lnRatio));
        const middle = median(some.map((x) => x.middle));
        const scatter = 1.48 * median(some.map((x) => Math.abs(x.lnRatio - lnRatio)));
        pairs.push({
          a,
          b,
          codedA: srgbFromLinear(Math.exp(middle - lnRatio / 2)),
          codedB: srgbFromLinear(Math.exp(middle + lnRatio / 2)),
          u: Math.hypot(FORM_U, (1.25 * scatter) / Math.sqrt(some.length)),
        });
      }
    }
  }
  return pairs;
}

/**
 * The camera's response from frames of known ratio: the same two exposures must show one ratio at every light. One joint
 * fit over the response and the exposures; what the printed marks said of the response, and the files of the exposures,
 * are its priors.
 *
 * @param before what is known of the response (fitTone, or UNKNOWN_TONE).
 * @see Debevec & Malik 1997 and Mitsunaga & Nayar 1999 for the principle (from memory); least squares with priors.
 */
export function fitResponse(
  pairs: readonly CodedPair[],
  frames: readonly StatedExposure[],
  before: ToneFit,
): ToneFit {
  if (pairs.length < 4) return before;
  const terms = before.params.length;
  const settings = settingsOf(frames);
  const count = Math.max(...settings) + 1;
  const known = frames.flatMap((f) => (f.exposure === null ? [] : [Math.log(f.exposure)]));
  const middle = known.length > 0 ? median(known) : 0;
  const stated = frames.map((f) => (f.exposure === null ? middle : Math.log(f.exposure)));
  const ready = pairs.map((p) => ({ ...p, shapesA: toneShapes(p.codedA), shapesB: toneShapes(p.codedB) }));
  const lnOf = (x: readonly number[], coded: number, shapes: readonly number[]): number => {
    let eta = 0;
    for (let n = 0; n < terms; n++) eta += x[n]! * shapes[n]!;
    return Math.log(linearFromSrgb(coded * Math.exp(eta)));
  };
  const gainOf = (x: readonly number[], f: number): number =>
    stated[f]! + x[terms + settings[f]!]! + x[terms + count + f]!;
  const settingU = settings.map((_, f) => (frames[f]!.exposure === null ? UNSTATED_U : SETTING_U));
  const misfits = (x: readonly number[]): number[] =>
    ready.map(
      (p) =>
        (lnOf(x, p.codedB, p.shapesB) - lnOf(x, p.codedA, p.shapesA) - gainOf(x, p.b) + gainOf(x, p.a)) / p.u,
    );
  const start = [...before.params, ...new Array<number>(count).fill(0), ...frames.map(() => 0)];
  const run = (scale: number) =>
    fitLeastSquares({
      start,
      scales: start.map((_, i) => (i < terms ? 1 : 0.03)),
      maxIterations: 25,
      residuals: (x) => [
        // Beyond some two of its doubts a step counts less and less: a shadow, a passer-by, a halo.
        ...misfits(x).map((z) => Math.sign(z) * 2.5 * Math.sqrt(Math.log1p((z / scale / 2.5) ** 2))),
        ...before.modes.map((mode) => {
          const size2 = mode.reduce((s, m) => s + m * m, 0) + 1e-12;
          return mode.reduce((s, m, n) => s + m * (x[n]! - before.params[n]!), 0) / size2;
        }),
        ...Array.from({ length: count }, (_, s) => x[terms + s]! / settingU[settings.indexOf(s)]!),
        ...frames.map((_, f) => x[terms + count + f]! / REPEAT_U),
      ],
    });
  const first = run(1);
  // Steps of one pair of frames share what the form leaves out: half the middle normal number is 0.674.
  const scale = Math.max(1, median(misfits(first.params).map(Math.abs)) / 0.674);
  const fit = scale > 1.05 ? run(scale) : first;
  if (fit.covariance === null) return before;
  return { params: fit.params.slice(0, terms), modes: modesOf(fit.covariance, terms) };
}

/** Number of the setting that each frame was taken with; unstated ones stand alone. */
function settingsOf(frames: readonly StatedExposure[]): number[] {
  const found: number[] = [];
  return frames.map((f) => {
    const ln = f.exposure === null ? Number.NaN : Math.log(f.exposure);
    const at = found.findIndex((x) => Math.abs(x - ln) < 0.005);
    if (at >= 0) return at;
    found.push(ln);
    return found.length - 1;
  });
}

/** The grid as another response would have read it: cell by cell, since a response hardly bends over one cell. */
export function rereadGrid(grid: LightGrid, from: ToneParams, to: ToneParams): LightGrid {
  const reread = otherwiseRead(from, to);
  return { ...grid, light: grid.light.map((e) => (Number.isFinite(e) ? reread(e) : e)) };
}

function modesOf(covariance: readonly (readonly number[])[], terms: number): ToneParams[] {
  const own = covariance.slice(0, terms).map((row) => row.slice(0, terms));
  const evd = new EigenvalueDecomposition(new Matrix(own), { assumeSymmetric: true });
  const values = evd.realEigenvalues;
  const order = [...values.keys()].sort((i, j) => values[j]! - values[i]!);
  return order.map((k) =>
    own.map((_, n) => evd.eigenvectorMatrix.get(n, k) * Math.sqrt(Math.max(0, values[k]!))),
  );
}
