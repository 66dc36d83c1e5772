import { tanFromDeg } from '../units.ts';
import { fitPolynomial, polynomialSlope } from './polynomial.ts';

/** One vertical run of light: regular steps upwards. */
export interface Profile {
  /** First place and step, tangent units, positive up. */
  readonly v0: number;
  readonly dv: number;
  /** n values of log10 E; NaN where unknown. */
  readonly log: Float64Array;
}

export interface Inflection {
  /** Where d2(log10 E)/dv2 = 0 at the steepest fall going up, tangent units. */
  readonly v: number;
  /** Fall of log10 E per tangent unit there, above 0. */
  readonly slope: number;
  /** Greatest fall of log10 E over 0.1 deg. */
  readonly g: number;
  /** The zone that the fit used, tangent units. */
  readonly zone: readonly [number, number];
}

/** How an inflection is found; the defaults are argued at INFLECTION_RULE. */
export interface InflectionRule {
  /** Degree of the polynomial through log10 E. */
  readonly degree: number;
  /** The zone reaches down to this share of the greatest slope. */
  readonly zoneShare: number;
}

/**
 * A quintic over the zone where the slope is above 0.6 of its greatest: on logistic, error-function, skewed and
 * faceted edges with G from 0.1 to 0.9 its inflection lies within 0.02 % of the true one, where a cubic errs by up
 * to 0.06 % (test/core/beam/inflection.test.ts). Wider zones gain little noise and lean on the edge's shoulders.
 */
export const INFLECTION_RULE: InflectionRule = { degree: 5, zoneShare: 0.6 };

/**
 * A cubic over the same zone: a third of the noise, but on lopsided edges it errs by up to 0.05 %. For tracing, where an
 * error common to all columns does no harm, and as the second opinion in dim photos.
 */
export const QUIET_RULE: InflectionRule = { degree: 3, zoneShare: 0.6 };

/** Smoothing of log10 E that finds the zone; never of linear light, which would shift the edge up. */
const FIND_SIGMA = tanFromDeg(0.06);
const ZONE_MIN = tanFromDeg(0.12);
const ZONE_MAX = tanFromDeg(1.0);

/**
 * The inflection of log10 E at the steepest fall going up.
 *
 * @param profile regular steps of at most 0.05 deg.
 * @param near the search window, tangent units; all of the profile when left out.
 * @returns null when nothing falls there, or less than half of the zone is known.
 * @see UN R112 cut-off annex: inflection where d2(log E)/dv2 = 0; G = log E(b) - log E(b + 0.1 deg).
 */
export function findInflection(
  profile: Profile,
  near?: readonly [number, number],
  rule: InflectionRule = INFLECTION_RULE,
): Inflection | null {
  const { v0, dv, log } = profile;
  const smooth = smoothLog(log, FIND_SIGMA / dv);
  const n = log.length;
  const slope = new Float64Array(n).fill(Number.NaN);
  for (let i = 1; i < n - 1; i++) slope[i] = (smooth[i - 1]! - smooth[i + 1]!) / (2 * dv);
  const lo = near ? Math.max(1, Math.ceil((near[0] - v0) / dv)) : 1;
  const hi = near ? Math.min(n - 2, Math.floor((near[1] - v0) / dv)) : n - 2;
  let top = -1;
  for (let i = lo; i <= hi; i++) if (slope[i]! > 0 && (top < 0 || slope[i]! > slope[top]!)) top = i;
  if (top < 0) return null;

  let a = top;
  let b = top;
  while (a > 1 && slope[a - 1]! > rule.zoneShare * slope[top]! && (top - a) * dv < ZONE_MAX) a--;
  while (b < n - 2 && slope[b + 1]! > rule.zoneShare * slope[top]! && (b - top) * dv < ZONE_MAX) b++;
  const least = Math.ceil(ZONE_MIN / dv);
  a = Math.max(0, Math.min(a, top - least));
  b = Math.min(n - 1, Math.max(b, top + least));

  const x: number[] = [];
  const y: number[] = [];
  for (let i = a; i <= b; i++) {
    if (!Number.isFinite(log[i]!)) continue;
    x.push(v0 + i * dv);
    y.push(log[i]!);
  }
  if (x.length < Math.max(rule.degree + 3, (b - a + 1) / 2)) return null;
  const fit = fitPolynomial(x, y, rule.degree);
  // The steepest place of the fitted curve, found on a fine raster and settled by a parabola through three of it.
  const steps = 200;
  let best = 0;
  let bestSlope = -Infinity;
  const fall = (t: number) => -polynomialSlope(fit.coefficients, t) / fit.half;
  for (let k = 0; k <= steps; k++) {
    const t = -0.9 + (1.8 * k) / steps;
    const s = fall(t);
    if (s > bestSlope) {
      bestSlope = s;
      best = t;
    }
  }
  const h = 1.8 / steps;
  const before = fall(best - h);
  const after = fall(best + h);
  const bend = before - 2 * bestSlope + after;
  const t = Math.abs(best) < 0.9 - h && bend < 0 ? best + (h * 0.5 * (before - after)) / bend : best;
  if (!(bestSlope > 0)) return null;
  return {
    v: fit.middle + fit.half * t,
    slope: bestSlope,
    g: greatestStep(fit),
    zone: [v0 + a * dv, v0 + b * dv],
  };
}

/** Greatest fall of the fitted log10 E over 0.1 deg inside the zone (over all of it, in proportion, when narrower). */
function greatestStep(fit: ReturnType<typeof fitPolynomial>): number {
  const step = Math.min(2, tanFromDeg(0.1) / fit.half);
  const value = (t: number) => fit.coefficients.reduceRight((sum, c) => sum * t + c, 0);
  let g = 0;
  for (let k = 0; k <= 100; k++) {
    const t = -1 + ((2 - step) * k) / 100;
    g = Math.max(g, value(t) - value(t + step));
  }
  return (g * tanFromDeg(0.1)) / (step * fit.half);
}

/**
 * Gaussian smoothing of log values, gaps left out of the mean.
 * @param sigma in rows.
 * @returns same length; NaN where nothing known lies within two sigma.
 */
export function smoothLog(log: Float64Array, sigma: number): Float64Array {
  const reach = Math.max(1, Math.ceil(3 * sigma));
  const kernel = new Float64Array(reach + 1);
  for (let k = 0; k <= reach; k++) kernel[k] = Math.exp((-k * k) / (2 * sigma * sigma));
  const out = new Float64Array(log.length);
  for (let i = 0; i < log.length; i++) {
    let sum = 0;
    let weight = 0;
    for (let k = -reach; k <= reach; k++) {
      const value = log[i + k];
      if (value === undefined || !Number.isFinite(value)) continue;
      const w = kernel[Math.abs(k)]!;
      sum += w * value;
      weight += w;
    }
    out[i] = weight > 1 ? sum / weight : Number.NaN;
  }
  return out;
}
