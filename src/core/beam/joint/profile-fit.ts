import { fitLeastSquares, type LeastSquaresFit } from '../../geometry/least-squares.ts';
import type { Profile } from '../inflection.ts';
import { DEG, type EdgeShape, packShape, SHAPE_PARAMETERS, shapeLog, unpackShape } from './edge-shape.ts';
import type { LitSpot } from './lamp-filling.ts';

/** A profile of the flat part on one board, and how the lamp smeared it there. */
export interface SmearedProfile {
  readonly profile: Profile;
  /** Standard uncertainty of log10 E at each place of the profile. */
  readonly uLog: Float64Array;
  /** Half the lit height over the distance, deg. */
  readonly halfHeightDeg: number;
}

/** One far edge behind a profile, for one way in which the lamp may be lit. */
export interface ProfileFit {
  readonly shape: EdgeShape;
  /** Size of the lamp as fitted over its size as given. */
  readonly size: number;
  /** Half the squared misfit, priors included. */
  readonly cost: number;
  readonly converged: boolean;
  /** Inflection of log10 light on the board and far away, tangent units, in the profile's heights. */
  readonly onBoard: number;
  readonly far: number;
  /** Standard uncertainties from noise, the family's misfit and the size: of the board's place, and of far less board. */
  readonly uBoard: number;
  readonly uShift: number;
  /** Signed change of far less board for one standard uncertainty of the size alone (contained in `uShift`). */
  readonly sizePart: number;
}

/** Where the log of the size stands among the packed parameters. */
const SIZE = SHAPE_PARAMETERS.length;
/** Steps of the tables, deg: a fifth of the narrowest edge's width. */
const STEP = 0.02;
/** No lamp is lit over half as much again as was measured: the tables reach no further. */
const MOST_LOG_SIZE = Math.log(1.45);
/** Every second row of the profile: 0.04 deg. */
const EVERY = 2;
/** No smooth family follows a real lamp's light better than this, log10. */
const FAMILY_U = 0.012;

/**
 * Fits a far edge that the lamp's height smears into the profile on the board: Levenberg-Marquardt with priors from two
 * starts, so that an edge sitting in a neighbouring dip of the cost is not taken.
 *
 * @param rows how the lamp's light is spread over its height.
 * @param uSize relative standard uncertainty of the lit height.
 * @param start a fit to begin from instead.
 * @returns null when less than 40 places of the profile are known.
 */
export function fitProfile(
  given: SmearedProfile,
  rows: readonly LitSpot[],
  uSize: number,
  start: ProfileFit | null = null,
): ProfileFit | null {
  const data = dataOf(given);
  if (data.height.length < 40) return null;
  const model = new SmearedModel(data.height, rows, given.halfHeightDeg);
  const centre = priorOf(data);
  const spreads = [...SHAPE_PARAMETERS.map((p) => p.spread), uSize];
  const residuals = (packed: readonly number[]): number[] => {
    const log = model.at(packed);
    const out: number[] = new Array(data.height.length + packed.length);
    for (let i = 0; i < data.height.length; i++) out[i] = (log[i]! - data.log[i]!) / data.u[i]!;
    for (let k = 0; k < packed.length; k++)
      out[data.height.length + k] = (packed[k]! - centre[k]!) / spreads[k]!;
    return out;
  };
  const mean = rows.reduce((s, r) => s + r.share * r.z, 0) * given.halfHeightDeg;
  const starts = start
    ? [[...packShape(start.shape), Math.log(start.size)]]
    : [0, -0.5 * given.halfHeightDeg].map((by) => centre.with(0, -mean + by));
  const fits = starts.map((from) =>
    fitLeastSquares({
      start: from,
      residuals,
      scales: spreads,
      maxIterations: 30,
      tolerance: 1e-4,
      oneSided: true,
    }),
  );
  const best = fits.reduce((a, b) => (b.cost < a.cost ? b : a));
  const at = model.inflections(best.params);
  const slopes = best.params.map((p, k) => {
    const h = 0.02 * spreads[k]!;
    const up = model.inflections(best.params.with(k, p + h));
    const down = model.inflections(best.params.with(k, p - h));
    return { board: (up.board - down.board) / (2 * h), far: (up.far - down.far) / (2 * h) };
  });
  const spreadOf = (of: (s: { readonly board: number; readonly far: number }) => number): number => {
    if (best.covariance === null) return 1;
    let variance = 0;
    slopes.forEach((a, i) => {
      slopes.forEach((b, j) => {
        variance += of(a) * of(b) * best.covariance![i]![j]!;
      });
    });
    return Math.sqrt(Math.max(0, variance));
  };
  return {
    shape: unpackShape(best.params),
    size: sizeOf(best.params[SIZE]!),
    cost: best.cost / 2,
    converged: best.converged,
    onBoard: at.board * DEG,
    far: at.far * DEG,
    uBoard: spreadOf((s) => s.board) * DEG,
    uShift: spreadOf((s) => s.far - s.board) * DEG,
    sizePart: (slopes[SIZE]!.far - slopes[SIZE]!.board) * Math.min(uSize, sizeSpread(best)) * DEG,
  };
}

/** Lit size over the given one; it nears its most softly, for at a hard stop a fit on its way back would stay caught. */
function sizeOf(log: number): number {
  return Math.exp(log <= 0 ? log : MOST_LOG_SIZE * Math.tanh(log / MOST_LOG_SIZE));
}

function sizeSpread(fit: LeastSquaresFit): number {
  return fit.covariance === null
    ? Number.POSITIVE_INFINITY
    : Math.sqrt(Math.max(0, fit.covariance[SIZE]![SIZE]!));
}

interface ProfileData {
  readonly height: Float64Array;
  readonly log: Float64Array;
  readonly u: Float64Array;
}

function dataOf(given: SmearedProfile): ProfileData {
  const { v0, dv, log } = given.profile;
  const height: number[] = [];
  const values: number[] = [];
  const u: number[] = [];
  for (let i = 0; i < log.length; i += EVERY) {
    if (!Number.isFinite(log[i]!) || log[i]! <= -3.6) continue;
    height.push((v0 + i * dv) / DEG);
    values.push(log[i]!);
    u.push(Math.hypot(FAMILY_U, given.uLog[i]!));
  }
  return { height: Float64Array.from(height), log: Float64Array.from(values), u: Float64Array.from(u) };
}

/** What is likely before fitting: the levels that the profile itself shows, an edge of usual width, symmetric. */
function priorOf(data: ProfileData): number[] {
  let bright = -9;
  let dark = 9;
  for (const l of data.log) {
    bright = Math.max(bright, l);
    dark = Math.min(dark, l);
  }
  return [0, Math.log(0.25), 0, bright - 0.2, 0.1, 0, 0, dark, -0.02, 0];
}

/** log10 light of a smeared edge at fixed heights, its tables kept from call to call. */
class SmearedModel {
  readonly #heights: Float64Array;
  readonly #rows: readonly LitSpot[];
  readonly #half: number;
  readonly #first: number;
  readonly #log: Float64Array;
  readonly #light: Float64Array;
  readonly #out: Float64Array;

  constructor(heights: Float64Array, rows: readonly LitSpot[], half: number) {
    this.#heights = heights;
    this.#rows = rows;
    this.#half = half;
    // A lamp half as large again as given must still find its light in the table.
    const margin = 1.5 * half + 3 * STEP;
    this.#first = heights[0]! - margin;
    const n = Math.ceil((heights[heights.length - 1]! + margin - this.#first) / STEP) + 2;
    this.#log = new Float64Array(n);
    this.#light = new Float64Array(n);
    this.#out = new Float64Array(heights.length);
  }

  /** log10 light at the heights. @param packed the shape's parameters and the log of the size. */
  at(packed: readonly number[]): Float64Array {
    this.#tabulate(packed);
    const half = this.#halfOf(packed);
    for (let i = 0; i < this.#out.length; i++)
      this.#out[i] = Math.log10(Math.max(1e-9, this.#smeared(this.#heights[i]!, half)));
    return this.#out;
  }

  /** Steepest fall of log10 light, deg: smeared, and far away. */
  inflections(packed: readonly number[]): { readonly board: number; readonly far: number } {
    this.#tabulate(packed);
    const half = this.#halfOf(packed);
    const middle = packed[0]!;
    const n = 2 * Math.round((half + 0.9) / STEP) + 1;
    const from = middle - ((n - 1) / 2) * STEP;
    const smeared = new Float64Array(n);
    for (let i = 0; i < n; i++) smeared[i] = Math.log10(Math.max(1e-9, this.#smeared(from + i * STEP, half)));
    const far = new Float64Array(n);
    shapeLog(unpackShape(packed), from, STEP, far);
    return { board: steepest(smeared, from), far: steepest(far, from) };
  }

  #tabulate(packed: readonly number[]): void {
    shapeLog(unpackShape(packed), this.#first, STEP, this.#log);
    for (let i = 0; i < this.#log.length; i++) this.#light[i] = Math.exp(Math.LN10 * this.#log[i]!);
  }

  #halfOf(packed: readonly number[]): number {
    return this.#half * sizeOf(packed[SIZE]!);
  }

  #smeared(height: number, half: number): number {
    const light = this.#light;
    const last = light.length - 2;
    const base = (height - this.#first) / STEP;
    const scale = half / STEP;
    let sum = 0;
    for (const row of this.#rows) {
      // Light from a spot above the centre draws the same edge higher on the board.
      const at = base - row.z * scale;
      const i = at <= 0 ? 0 : at >= last ? last : at | 0;
      const f = at - i;
      sum += row.share * (light[i]! + f * (light[i + 1]! - light[i]!));
    }
    return sum;
  }
}

/** Where a run of log10 light falls fastest: central differences, then a parabola through three of them. */
function steepest(log: Float64Array, from: number): number {
  let best = 2;
  const fall = (i: number) => log[i - 2]! - log[i + 2]!;
  for (let i = 3; i < log.length - 3; i++) if (fall(i) > fall(best)) best = i;
  if (best <= 2 || best >= log.length - 4) return from + best * STEP;
  const [a, b, c] = [fall(best - 1), fall(best), fall(best + 1)];
  const bend = a - 2 * b + c;
  return from + (best + (bend < 0 ? (0.5 * (a - c)) / bend : 0)) * STEP;
}
