import { EigenvalueDecomposition, Matrix } from 'ml-matrix';
import { fitLeastSquares } from '../geometry/least-squares.ts';
import { nearestTone, sSlope, TONE_TERMS, type ToneParams, toneShapes } from './tone-response.ts';
import { linearFromSrgb, srgbFromLinear } from './transfer-curve.ts';

/** Two printed places side by side as the photo shows them, linear by plain sRGB, 0 to 1. */
export interface PrintPair {
  /** Bare paper, and the dark or grey print beside it. */
  readonly white: number;
  readonly dark: number;
  /** Relative standard uncertainty of dark over white: noise, rounding, uneven light. */
  readonly u: number;
  /** Reflectance of the print over that of paper as designed: pairs of one value share what the printer made of it. */
  readonly reflectance: number;
  /** Mean light of the whole photo, and of wide and near surroundings: what the lens spills from. */
  readonly around: readonly [number, number, number];
}

/** A camera's response and its doubt. */
export interface ToneFit {
  readonly params: ToneParams;
  /** Independent changes of `params`, each of one standard deviation, the largest first. */
  readonly modes: readonly ToneParams[];
}

/** Phones add contrast more often than they take it: by a tenth in the middle. Made when first needed. */
let likely: ToneParams | null = null;
function likelyTone(): ToneParams {
  likely ??= nearestTone((c) => 0.1 * sSlope(c));
  return likely;
}

const TERMS = Array.from({ length: TONE_TERMS }, (_, n) => n);
/** A photo whose marks tell nothing is read as plain sRGB, with the doubt of what cameras usually do. */
export const UNKNOWN_TONE: ToneFit = {
  params: TERMS.map(() => 0),
  modes: TERMS.map((n) => TERMS.map((m) => (m === n ? 1 : 0))),
};

/** What a printer makes of black and of grey, relative standard uncertainty (common practice, no source). */
const uPrint = (reflectance: number): number => (reflectance < 0.08 ? 0.35 : 0.15);
/** Shares of whole, wide and near light that lenses spill: log-normal, common practice, no source. */
const SPILL = [
  { share: 0.003, spread: 1 },
  { share: 0.002, spread: 1 },
  { share: 0.003, spread: 1 },
] as const;
/** Spilt light differs from place to place by this share of what was reckoned. */
const SPILL_U = 0.2;
/** Print and paper vary over a sheet, and light does over a pair. */
const UNEVEN_U = 0.02;
/** Beyond some three of its own doubts a pair counts less and less: dirt, gloss, a shadow's edge. */
const CAUCHY = 2.5;

interface ReadyPair {
  readonly pair: PrintPair;
  readonly group: number;
  readonly codedWhite: number;
  readonly codedDark: number;
  readonly shapesWhite: readonly number[];
  readonly shapesDark: readonly number[];
}

/**
 * The camera's response from printed marks in unlike light: a print sends back the same share of the light everywhere,
 * whatever that share is, and levels must say so once the response is undone. One joint robust least squares over the
 * response, the reflectance of each print tone, and the light spilt by the lens, each with what is likely beforehand.
 *
 * @param pairs of one photo; clipped or black ones left out by the caller.
 */
export function fitTone(pairs: readonly PrintPair[]): ToneFit {
  const useful = pairs.filter((p) => p.white > 0.003 && p.white < 0.97 && p.dark > 0.0003 && p.u < 0.5);
  if (useful.length < 3) return UNKNOWN_TONE;
  const prints = [...new Set(useful.map((p) => p.reflectance))];
  const ready = useful.map((pair): ReadyPair => {
    const codedWhite = srgbFromLinear(pair.white);
    const codedDark = srgbFromLinear(pair.dark);
    return {
      pair,
      group: prints.indexOf(pair.reflectance),
      codedWhite,
      codedDark,
      shapesWhite: toneShapes(codedWhite),
      shapesDark: toneShapes(codedDark),
    };
  });
  const first = solve(ready, prints, [...likelyTone(), ...prints.map(() => 0), ...SPILL.map(() => 0)], 1);
  const zs = first.z.map(Math.abs).sort((a, b) => a - b);
  // Half of normal numbers lie within 0.674.
  const scale = Math.max(1, zs[zs.length >> 1]! / 0.674);
  const last = scale > 1.05 ? solve(ready, prints, first.params, scale) : first;
  if (last.covariance === null) return UNKNOWN_TONE;
  return { params: last.params.slice(0, TONE_TERMS), modes: modesOf(last.covariance) };
}

interface Solution {
  readonly params: readonly number[];
  readonly covariance: readonly (readonly number[])[] | null;
  /** Residuals in their own doubts. */
  readonly z: readonly number[];
}

/** Parameters: the response's, then log of each print over its design, then log of each spill over what is usual, in its spread. */
function solve(
  ready: readonly ReadyPair[],
  prints: readonly number[],
  start: readonly number[],
  scale: number,
): Solution {
  const spillAt = TONE_TERMS + prints.length;
  const spilt = (p: ReadyPair, shares: readonly number[]): number =>
    shares[0]! * p.pair.around[0] + shares[1]! * p.pair.around[1] + shares[2]! * p.pair.around[2];
  const sharesOf = (x: readonly number[]): number[] =>
    SPILL.map(({ share, spread }, i) => share * Math.exp(spread * x[spillAt + i]!));
  const usual = sharesOf(start);
  const doubts = ready.map(
    (p) => scale * Math.hypot(p.pair.u, UNEVEN_U, (SPILL_U * spilt(p, usual)) / p.pair.dark),
  );
  /** Log of what a print shows over what it should, in its doubts; its derivatives go to `columns` where asked for. */
  const misfits = (x: readonly number[], columns?: readonly Float64Array[]): number[] => {
    const shares = sharesOf(x);
    const printed = prints.map((r, g) => r * Math.exp(x[TONE_TERMS + g]!));
    return ready.map((p, i) => {
      let white = 0;
      let dark = 0;
      for (let n = 0; n < TONE_TERMS; n++) {
        white += x[n]! * p.shapesWhite[n]!;
        dark += x[n]! * p.shapesDark[n]!;
      }
      const plainWhite = p.codedWhite * Math.exp(white);
      const plainDark = p.codedDark * Math.exp(dark);
      const s = spilt(p, shares);
      const own = Math.max(0, linearFromSrgb(plainWhite) - s) * printed[p.group]!;
      const z = Math.log(linearFromSrgb(plainDark) / (own + s)) / doubts[i]!;
      if (columns) {
        // By how much it falls when the light expected changes by one, and the log of light with η: sRGB's own slope.
        const fall = robustSlope(z) / doubts[i]! / (own + s);
        const byWhite =
          own > 0 ? fall * printed[p.group]! * linearFromSrgb(plainWhite) * logSlope(plainWhite) : 0;
        const byDark = (robustSlope(z) / doubts[i]!) * logSlope(plainDark);
        for (let n = 0; n < TONE_TERMS; n++)
          columns[n]![i] = byDark * p.shapesDark[n]! - byWhite * p.shapesWhite[n]!;
        columns[TONE_TERMS + p.group]![i] = -fall * own;
        const bySpill = fall * (1 - (own > 0 ? printed[p.group]! : 0));
        SPILL.forEach(({ spread }, k) => {
          columns[spillAt + k]![i] = -bySpill * spread * shares[k]! * p.pair.around[k]!;
        });
      }
      return z;
    });
  };
  const priorU = [...TERMS.map(() => 1), ...prints.map(uPrint), ...SPILL.map(() => 1)];
  const priorMean = [...likelyTone(), ...prints.map(() => 0), ...SPILL.map(() => 0)];
  const fit = fitLeastSquares({
    start,
    scales: start.map(() => 1),
    maxIterations: 20,
    tolerance: 1e-6,
    residuals: (x) => [...misfits(x).map(robust), ...x.map((v, k) => (v - priorMean[k]!) / priorU[k]!)],
    derivatives: (x) => {
      const columns = x.map((_, k) => {
        const column = new Float64Array(ready.length + x.length);
        column[ready.length + k] = 1 / priorU[k]!;
        return column;
      });
      misfits(x, columns);
      return columns;
    },
  });
  return { params: fit.params, covariance: fit.covariance, z: misfits(fit.params) };
}

/** Cauchy's loss as a residual, and its slope. */
function robust(z: number): number {
  return Math.sign(z) * CAUCHY * Math.sqrt(Math.log1p((z / CAUCHY) ** 2));
}
function robustSlope(z: number): number {
  const q = (z / CAUCHY) ** 2;
  return q < 1e-9 ? 1 : Math.sqrt(q / Math.log1p(q)) / (1 + q);
}

/** Slope of the log of sRGB's light over the log of the coded value. */
function logSlope(coded: number): number {
  return coded <= 0.04045 ? 1 : (2.4 * coded) / (coded + 0.055);
}

/** The response's own part of a covariance as independent one-sigma changes. */
function modesOf(covariance: readonly (readonly number[])[]): ToneParams[] {
  const own = covariance.slice(0, TONE_TERMS).map((row) => row.slice(0, TONE_TERMS));
  const evd = new EigenvalueDecomposition(new Matrix(own), { assumeSymmetric: true });
  const order = [...evd.realEigenvalues.keys()].sort(
    (i, j) => evd.realEigenvalues[j]! - evd.realEigenvalues[i]!,
  );
  return order.map((k) =>
    own.map((_, n) => evd.eigenvectorMatrix.get(n, k) * Math.sqrt(Math.max(0, evd.realEigenvalues[k]!))),
  );
}
