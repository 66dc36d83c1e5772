import { EigenvalueDecomposition, Matrix } from 'ml-matrix';
import { linearFromSrgb, linearTable } from './transfer-curve.ts';

/**
 * A camera's response as what it lays over sRGB: coded value c of the photo stands for plain sRGB's c·exp(η(c)). What
 * moves an edge is how η's slope h over log c changes: a constant slope is a power law and moves nothing. So h is what is
 * modelled: a constant, an S, and a smooth random function for every other form (shadows crushed or raised, highlights
 * compressed, film), expanded in the few shapes that it most consists of (Karhunen-Loeve expansion; Matern 5/2
 * covariance: Rasmussen & Williams 2006, eq. 4.17, from memory).
 *
 * Parameters are in units of what cameras usually do: independent, with standard deviation 1. All zero, or none, is
 * plain sRGB.
 */
export type ToneParams = readonly number[];

/** Number of parameters. */
export const TONE_TERMS = 6;
/** Standard deviations: of the power law, of the S (contrast in the middle), of anything else in h (invented, wide). */
const POWER = 0.1;
const S_SIZE = 0.2;
const OTHER = 0.12;
/** Shadows change over smaller steps than highlights: the random function lives on the log of coded value plus FOOT. */
const LENGTH = 0.6;
const FOOT = 0.3;
/** Below some ten levels of 255 slopes over log c mean nothing: there the log is bent straight. */
const TOE = 0.05;
/** Places that h is split up on. */
const PLACES = 33;
/** Steps of the tables: knots at k / KNOTS. */
const KNOTS = 512;

/** h of an S that adds contrast 1 in the middle: inverse of y + 2·½·y(1 - y)(2y - 1), to first order. */
export function sSlope(coded: number): number {
  return coded * (4 * coded - 3);
}

function covariance(a: number, b: number): number {
  const d = (Math.sqrt(5) * Math.abs(Math.log((a + FOOT) / (b + FOOT)))) / LENGTH;
  return POWER ** 2 + S_SIZE ** 2 * sSlope(a) * sSlope(b) + OTHER ** 2 * (1 + d + (d * d) / 3) * Math.exp(-d);
}

interface Shapes {
  /** h at the places, one row each, one column per parameter. */
  readonly places: readonly number[];
  readonly slopes: readonly (readonly number[])[];
  /** η at the knots. */
  readonly atKnots: readonly (readonly number[])[];
}

let made: Shapes | null = null;
function shapes(): Shapes {
  made ??= makeShapes();
  return made;
}

function makeShapes(): Shapes {
  const places = Array.from({ length: PLACES }, (_, i) => (i + 0.5) / PLACES);
  const evd = new EigenvalueDecomposition(
    new Matrix(places.map((a) => places.map((b) => covariance(a, b)))),
    { assumeSymmetric: true },
  );
  const values = evd.realEigenvalues;
  const largest = [...values.keys()].sort((i, j) => values[j]! - values[i]!).slice(0, TONE_TERMS);
  // An eigenvector's sign is anyone's: shapes are steeper in the shadows.
  const signs = largest.map((k) => Math.sign(evd.eigenvectorMatrix.get(0, k)) || 1);
  const weights = places.map((_, i) =>
    largest.map((k, n) => (signs[n]! * evd.eigenvectorMatrix.get(i, k)) / Math.sqrt(values[k]!)),
  );
  const slopeAt = (coded: number): number[] => {
    const out = new Array<number>(TONE_TERMS).fill(0);
    places.forEach((place, i) => {
      const k = covariance(coded, place);
      for (let n = 0; n < TONE_TERMS; n++) out[n] = out[n]! + k * weights[i]![n]!;
    });
    return out;
  };
  // From white, where η is 0, downwards.
  const atKnots: number[][] = [new Array<number>(TONE_TERMS).fill(0)];
  for (let k = KNOTS; k > 0; k--) {
    const step = Math.log((k / KNOTS + TOE) / ((k - 1) / KNOTS + TOE));
    const slope = slopeAt((k - 0.5) / KNOTS);
    atKnots.push(atKnots.at(-1)!.map((eta, n) => eta - slope[n]! * step));
  }
  return { places, slopes: places.map(slopeAt), atKnots: atKnots.reverse() };
}

/** η of one standard deviation of each parameter at a coded value from 0 to 1: TONE_TERMS numbers. */
export function toneShapes(coded: number): number[] {
  const { atKnots } = shapes();
  const place = KNOTS * Math.min(1, Math.max(0, coded));
  const k = Math.min(KNOTS - 1, Math.floor(place));
  const [low, high] = [atKnots[k]!, atKnots[k + 1]!];
  return low.map((v, n) => v + (place - k) * (high[n]! - v));
}

/** Parameters whose h comes nearest to a given one. */
export function nearestTone(h: (coded: number) => number): ToneParams {
  // Shapes at the places are orthogonal: each parameter is a projection.
  const { places, slopes } = shapes();
  return Array.from({ length: TONE_TERMS }, (_, n) => {
    const size = slopes.reduce((s, r) => s + r[n]! ** 2, 0);
    return places.reduce((s, place, i) => s + slopes[i]![n]! * h(place), 0) / size;
  });
}

/** Linear light at coded values k / KNOTS, rising. */
function knotLight(params: ToneParams): Float64Array {
  const all = shapes().atKnots;
  const plain = new Float64Array(KNOTS + 1);
  for (let k = 0; k <= KNOTS; k++) {
    let eta = 0;
    for (let n = 0; n < params.length; n++) eta += params[n]! * all[k]![n]!;
    plain[k] = (k / KNOTS) * Math.exp(eta);
  }
  // More light is never coded darker: where parameters would say so, the response is nearly flat there instead.
  for (let k = 1; k <= KNOTS; k++) plain[k] = Math.max(plain[k]!, plain[k - 1]! + 0.05 / KNOTS);
  return plain.map((y) => linearFromSrgb(y / plain[KNOTS]!));
}

/**
 * Linear light for every level of a raster.
 * @param maxLevel 255 or 65535. @param params none for plain sRGB.
 * @returns maxLevel + 1 values, 0 to 1, rising.
 * @throws InputError for another maxLevel.
 */
export function toneTable(maxLevel: number, params: ToneParams): Float32Array {
  const srgb = linearTable(maxLevel);
  if (params.every((p) => p === 0)) return srgb;
  const light = knotLight(params);
  return srgb.map((_, level) => at(light, (KNOTS * level) / maxLevel));
}

/** What light would have been read as, had the response been another: both 0 to 1, beyond white in proportion. */
export function otherwiseRead(used: ToneParams, other: ToneParams): (light: number) => number {
  const from = knotLight(used);
  const to = knotLight(other);
  return (light) => {
    if (!(light > 0)) return light;
    if (light >= 1) return light;
    let low = 0;
    let high = KNOTS;
    while (high - low > 1) {
      const middle = (low + high) >> 1;
      if (from[middle]! <= light) low = middle;
      else high = middle;
    }
    return at(to, low + (light - from[low]!) / (from[high]! - from[low]!));
  };
}

function at(knots: Float64Array, place: number): number {
  const k = Math.min(KNOTS - 1, Math.floor(place));
  return knots[k]! + (place - k) * (knots[k + 1]! - knots[k]!);
}
