import { fitLeastSquares } from '../../geometry/least-squares.ts';
import { type BentLine, bentLineAt } from '../bent-line.ts';
import type { EdgePoint } from '../finding.ts';
import { EdgeCurve, type FarLine, farLineAt } from './edge-curve.ts';
import { DEG, type EdgeShape } from './edge-shape.ts';
import type { LitSpot } from './lamp-filling.ts';

/** Where flat part and rise meet, and how the flat part lies; tangents and deg. */
export interface ElbowPlace {
  readonly u: number;
  readonly v: number;
  readonly tiltDeg: number;
}

/** One far line behind the traced points, for one way in which the lamp may be lit. */
export interface EdgeLineFit {
  readonly line: FarLine;
  /** Half the squared misfit in units of the points' scatter. */
  readonly cost: number;
  /** What the board shows of it, and what is seen far away. */
  readonly onBoard: ElbowPlace;
  readonly far: ElbowPlace;
  /** Standard uncertainties from the points' scatter. */
  readonly uBoard: ElbowPlace;
  /** Robust scatter of the points about the curve, deg. */
  readonly scatter: number;
}

export interface Smear {
  readonly shape: EdgeShape;
  readonly spots: readonly LitSpot[];
  /** Half lit width and height over the distance, deg. */
  readonly halfWidth: number;
  readonly halfHeight: number;
}

/** Neighbouring points share their columns (three on either side): this many are worth one. */
const SHARED = 7;
/** Points further from the bend than this say nothing of it that nearer ones do not say better. */
export const LINE_WINDOW = 4.5;
/** No traced point is surer than this, deg. */
const QUIETEST = 0.012;
/** Ramps of 15 to 45 deg (UN R112 cut-off, both kinds), and a deg long, to a factor of two: likely beforehand. */
const USUAL_RAMP = { slope: 0.58, spread: 0.18 } as const;
const LENGTH_SPREAD = 0.7;
const SCALES = [0.05, 0.01, 0.01, 0.02, 0.1] as const;

/**
 * Fits the far line whose smeared inflections lie nearest to the traced ones: all columns together.
 *
 * @param traced a bent line through the points to begin from; must have a bend.
 * @param scale scatter of a good point, deg; left out: that about `traced`.
 * @returns null when too few points lie on either side of the bend.
 */
export function fitEdgeLine(
  traced: BentLine,
  points: readonly EdgePoint[],
  smear: Smear,
  scale?: number,
): EdgeLineFit | null {
  if (traced.side === 0) return null;
  const used = points
    .filter((p) => p.used && Math.abs(p.u - traced.bend) < LINE_WINDOW * DEG)
    .map((p) => ({ u: p.u / DEG, v: p.v / DEG }));
  if (used.length < 20) return null;
  const curve = new EdgeCurve(smear.shape, smear.spots, smear.halfWidth, smear.halfHeight);
  const stepped = Number.isFinite(traced.length);
  const start: FarLine = {
    side: traced.side,
    bend: traced.bend / DEG,
    atBend: traced.atBend / DEG,
    tilt: traced.tilt,
    slope: traced.slope,
    length: traced.length / DEG,
  };
  // The smeared level edge stands higher (or lower) than the far one by the same amount everywhere.
  const level = curve.at({ ...start, side: 0, atBend: 0, tilt: 0, bend: 0 }, 0);
  const pack = (l: FarLine) => [l.bend, l.atBend, l.tilt, l.slope, ...(stepped ? [Math.log(l.length)] : [])];
  const unpack = (p: readonly number[]): FarLine => ({
    side: start.side,
    bend: p[0]!,
    atBend: p[1]!,
    tilt: p[2]!,
    slope: Math.max(0.05, p[3]!),
    length: stepped ? Math.exp(p[4]!) : Number.POSITIVE_INFINITY,
  });
  const scale0 =
    scale ?? Math.max(QUIETEST, scatterOf(used.map((p) => p.v - bentLineAt(traced, p.u * DEG) / DEG)));
  const residuals = (p: readonly number[]): number[] => {
    const model = new LineModel(curve, unpack(p), level, smear.halfWidth);
    const out = used.map((q) => huber((model.at(q.u) - q.v) / scale0));
    if (stepped) out.push((p[3]! - USUAL_RAMP.slope) / USUAL_RAMP.spread, p[4]! / LENGTH_SPREAD);
    return out;
  };
  const fits = startsFor({ ...start, atBend: start.atBend - level }).map((from) =>
    fitLeastSquares({
      start: pack(from),
      residuals,
      scales: stepped ? [...SCALES] : SCALES.slice(0, 4),
      maxIterations: 15,
      tolerance: 1e-4,
      oneSided: true,
    }),
  );
  const fit = fits.reduce((a, b) => (b.cost < a.cost ? b : a));
  const line = unpack(fit.params);
  const fitted = new LineModel(curve, line, level, smear.halfWidth);
  const scatter = scatterOf(used.map((q) => q.v - fitted.at(q.u)));
  if (scale0 > QUIETEST && scatter < scale0 / 2) {
    // Begun far off, the points seemed so scattered that the priors outweighed them: once more from here.
    const { bend, atBend, length } = line;
    const nearer = { bend: bend * DEG, atBend: (atBend + level) * DEG, length: length * DEG };
    return fitEdgeLine({ ...traced, ...line, ...nearer }, points, smear, Math.max(QUIETEST, scatter));
  }
  const places = (p: readonly number[]) => elbowOf(curve, unpack(p), level, smear);
  const onBoard = places(fit.params);
  const uBoard = propagate(fit.params, fit.covariance, places, onBoard, Math.max(0.3, scatter / scale0));
  const far = elbowOf(new EdgeCurve(smear.shape, [], 0, 0), line, 0, {
    ...smear,
    halfWidth: 0,
    halfHeight: 0,
  });
  return { line, cost: fit.cost / 2, onBoard, far, uBoard, scatter };
}

/**
 * A ramp that the lamp smears over more than its own length may be taken for a short steep one or a long shallow one of
 * the same height: the fit starts from the traced one and from one of 30 deg about the same middle.
 */
function startsFor(traced: FarLine): readonly FarLine[] {
  if (!Number.isFinite(traced.length)) return [traced];
  const height = traced.slope * traced.length;
  const middle = traced.bend + (traced.side * traced.length) / 2;
  const length = height / USUAL_RAMP.slope;
  const bend = middle - (traced.side * length) / 2;
  const atBend = traced.atBend + traced.tilt * (bend - traced.bend);
  return [traced, { ...traced, bend, atBend, slope: USUAL_RAMP.slope, length }];
}

/**
 * Inflections of one line. Where the whole lamp looks at one straight piece of it the smeared edge runs beside the far
 * one, and one sum tells how far; only about the corners every column needs its own.
 */
class LineModel {
  readonly #curve: EdgeCurve;
  readonly #line: FarLine;
  readonly #level: number;
  readonly #halfWidth: number;
  #ramp: number | null = null;

  constructor(curve: EdgeCurve, line: FarLine, level: number, halfWidth: number) {
    this.#curve = curve;
    this.#line = line;
    this.#level = level;
    this.#halfWidth = halfWidth;
  }

  at(u: number): number {
    const line = this.#line;
    const t = line.side * (u - line.bend);
    if (t < -this.#halfWidth || t > line.length + this.#halfWidth) return farLineAt(line, u) + this.#level;
    if (t > this.#halfWidth + 0.01 && t < line.length - this.#halfWidth - 0.01) {
      this.#ramp ??= this.#curve.at(line, u) - farLineAt(line, u);
      return farLineAt(line, u) + this.#ramp;
    }
    return this.#curve.at(line, u);
  }
}

/** Level part through 1.5 to 3.5 deg and rise as the lamp draws them on the board: as the standards' constructions ask. */
function elbowOf(curve: EdgeCurve, line: FarLine, level: number, smear: Smear): ElbowPlace {
  const model = new LineModel(curve, line, level, smear.halfWidth);
  const at = (deg: number) => model.at(line.bend + line.side * deg);
  const flatStart = at(-3.5);
  const flatSlope = (at(-1.5) - flatStart) / 2;
  const flat = (t: number) => flatStart + flatSlope * (t + 3.5);
  let riseAt = 0;
  let riseSlope = 0;
  let riseHeight = 0;
  if (Number.isFinite(line.length)) {
    const step = 0.08;
    const from = -0.3;
    const n = Math.ceil((line.length + 0.6) / step) + 1;
    const heights = Array.from({ length: n }, (_, i) => at(from + i * step));
    for (let i = 1; i < n - 1; i++) {
      const slope = (heights[i + 1]! - heights[i - 1]!) / (2 * step);
      if (slope <= riseSlope) continue;
      riseSlope = slope;
      riseAt = from + i * step;
      riseHeight = (heights[i - 1]! + heights[i]! + heights[i + 1]!) / 3;
    }
  } else {
    riseSlope = (at(3) - at(1)) / 2;
    riseAt = 2;
    riseHeight = (at(1) + at(2) + at(3)) / 3;
  }
  // Where the two lines meet, counted from the bend towards the rise.
  const t = (flat(0) - riseHeight + riseSlope * riseAt) / (riseSlope - flatSlope);
  const tilts = [1, 1.5, 2, 2.5, 3, 3.5, 4].map((d) => ({ t: -d, v: at(t - d) }));
  const meanT = -2.5;
  const meanV = tilts.reduce((s, p) => s + p.v, 0) / tilts.length;
  const slope =
    tilts.reduce((s, p) => s + (p.t - meanT) * (p.v - meanV), 0) /
    tilts.reduce((s, p) => s + (p.t - meanT) ** 2, 0);
  return {
    u: (line.bend + line.side * t) * DEG,
    v: flat(t) * DEG,
    tiltDeg: (Math.atan(line.side * slope) * 180) / Math.PI,
  };
}

function propagate(
  params: readonly number[],
  covariance: readonly (readonly number[])[] | null,
  places: (p: readonly number[]) => ElbowPlace,
  at: ElbowPlace,
  scale: number,
): ElbowPlace {
  if (covariance === null) return { u: 0.02, v: 0.01, tiltDeg: 1 };
  const slopes = params.map((p, k) => {
    // The curve is found to 0.002 deg: smaller steps would measure that instead of the slope.
    const h = SCALES[k]!;
    const moved = places(params.with(k, p + h));
    return { u: (moved.u - at.u) / h, v: (moved.v - at.v) / h, tiltDeg: (moved.tiltDeg - at.tiltDeg) / h };
  });
  const variance = (of: 'u' | 'v' | 'tiltDeg'): number => {
    let sum = 0;
    slopes.forEach((a, i) => {
      slopes.forEach((b, j) => {
        sum += a[of] * b[of] * covariance[i]![j]!;
      });
    });
    return Math.sqrt(Math.max(0, sum) * SHARED) * scale;
  };
  return { u: variance('u'), v: variance('v'), tiltDeg: variance('tiltDeg') };
}

/** Residuals beyond 2.5 grow only as their root: a smudge must not bend the line. */
function huber(r: number): number {
  const a = Math.abs(r);
  return a <= 2.5 ? r : Math.sign(r) * Math.sqrt(2.5 * (2 * a - 2.5));
}

function scatterOf(values: readonly number[]): number {
  const sorted = values.map(Math.abs).sort((a, b) => a - b);
  return 1.4826 * (sorted[sorted.length >> 1] ?? 0);
}
