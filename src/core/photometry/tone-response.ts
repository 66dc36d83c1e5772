import { EigenvalueDecomposition, Matrix } from 'ml-matrix';
import { linearFromSrgb, linearTable } from './transfer-curve.ts';

/**
 * A camera's response as what it lays over sRGB: coded value c of the photo stands for plain sRGB's c·exp(η(c)), where η
 * is a smooth function and η(1) = 0. Black and white stay; in between shadows may be crushed or raised, highlights
 * compressed, the middle steepened, each in whatever form.
 *
 * η is a sum of the few shapes that a smooth random function most consists of (Karhunen-Loeve expansion of a Matern 5/2
 * process; Rasmussen & Williams 2006, eq. 4.17, from memory). Its parameters are in units of what cameras usually do:
 * independent, with standard deviation 1. All zero, or none, is plain sRGB.
 */
export type ToneParams = readonly number[];

/** Number of parameters. */
export const TONE_TERMS = 6;
/** Standard deviation of η in the shadows before white ties it down, and over what part of the scale it changes. */
const SIZE = 0.2;
const LENGTH = 0.7;
/** Shadows change over smaller steps than highlights: the scale is the log of coded value plus this. */
const FOOT = 0.3;
/** Places that the random function is split up on. */
const PLACES = 33;

function covariance(a: number, b: number): number {
  const k = (p: number, q: number): number => {
    const d = (Math.sqrt(5) * Math.abs(Math.log((p + FOOT) / (q + FOOT)))) / LENGTH;
    return SIZE ** 2 * (1 + d + (d * d) / 3) * Math.exp(-d);
  };
  // Known to be 0 at white.
  return k(a, b) - (k(a, 1) * k(b, 1)) / k(1, 1);
}

interface Shapes {
  readonly places: readonly number[];
  /** One row per place, one column per parameter: weight of covariance(c, place) in the shape's value at c. */
  readonly weights: readonly (readonly number[])[];
}

let made: Shapes | null = null;
function shapes(): Shapes {
  if (made) return made;
  const places = Array.from({ length: PLACES }, (_, i) => i / PLACES);
  const evd = new EigenvalueDecomposition(
    new Matrix(places.map((a) => places.map((b) => covariance(a, b)))),
    { assumeSymmetric: true },
  );
  const order = [...evd.realEigenvalues.keys()].sort(
    (i, j) => evd.realEigenvalues[j]! - evd.realEigenvalues[i]!,
  );
  const largest = order.slice(0, TONE_TERMS);
  // An eigenvector's sign is anyone's: shapes raise the shadows.
  const signs = largest.map((k) => Math.sign(evd.eigenvectorMatrix.get(0, k)) || 1);
  const weights = places.map((_, i) =>
    largest.map((k, n) => (signs[n]! * evd.eigenvectorMatrix.get(i, k)) / Math.sqrt(evd.realEigenvalues[k]!)),
  );
  made = { places, weights };
  return made;
}

/** η of one standard deviation of each parameter at a coded value from 0 to 1: TONE_TERMS numbers. */
export function toneShapes(coded: number): number[] {
  const { places, weights } = shapes();
  const out = new Array<number>(TONE_TERMS).fill(0);
  places.forEach((place, i) => {
    const k = covariance(coded, place);
    const row = weights[i]!;
    for (let n = 0; n < TONE_TERMS; n++) out[n] = out[n]! + k * row[n]!;
  });
  return out;
}

/** Parameters whose η comes nearest to a given one. */
export function nearestTone(eta: (coded: number) => number): ToneParams {
  // Shapes at the places are orthogonal: each parameter is a projection.
  const { places } = shapes();
  const rows = places.map(toneShapes);
  return Array.from({ length: TONE_TERMS }, (_, n) => {
    const size = rows.reduce((s, r) => s + r[n]! ** 2, 0);
    return places.reduce((s, place, i) => s + rows[i]![n]! * eta(place), 0) / size;
  });
}

/** Steps of the tables below: knots at k / KNOTS. */
const KNOTS = 512;
let knotShapes: readonly (readonly number[])[] | null = null;

/** Linear light at coded values k / KNOTS, rising. */
function knotLight(params: ToneParams): Float64Array {
  knotShapes ??= Array.from({ length: KNOTS + 1 }, (_, k) => toneShapes(k / KNOTS));
  const plain = new Float64Array(KNOTS + 1);
  for (let k = 0; k <= KNOTS; k++) {
    let eta = 0;
    for (let n = 0; n < params.length; n++) eta += params[n]! * knotShapes[k]![n]!;
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
