/** What the edge's shape can be: level, bent once, or bent up and levelled again. */
export type LineShape = 'flat' | 'rise' | 'step';

/** v = atBend + tilt·(u - bend) + slope·ramp, the ramp growing from the bend towards `side`, for at most `length`. */
export interface BentLine {
  readonly shape: LineShape;
  /** +1: rises to the right; -1: to the left; 0: flat. */
  readonly side: 1 | -1 | 0;
  readonly bend: number;
  readonly atBend: number;
  readonly tilt: number;
  /** Slope of the rising part beyond the tilt, above 0. */
  readonly slope: number;
  /** Sideways length of the ramp; Infinity for a rise. */
  readonly length: number;
  /** Half width over which the bend is smeared (box), tangent units. */
  readonly smear: number;
  /** Weighted robust sum of squares, and the number of points. */
  readonly cost: number;
  readonly points: number;
}

export interface LinePoint {
  readonly u: number;
  readonly v: number;
  readonly weight: number;
}

/** Height of the line at u. */
export function bentLineAt(line: BentLine, u: number): number {
  return line.atBend + line.tilt * (u - line.bend) + line.slope * ramp(line, u);
}

/** The ramp's basis: 0 before the bend, then growing by 1 per unit until `length`; smeared over ± smear. */
function ramp(line: Pick<BentLine, 'side' | 'bend' | 'length' | 'smear'>, u: number): number {
  if (line.side === 0) return 0;
  const t = line.side * (u - line.bend);
  return smeared(t, line.smear) - (Number.isFinite(line.length) ? smeared(t - line.length, line.smear) : 0);
}

/** max(0, t) averaged over a box of half width w: what a wide lamp near by makes of a sharp bend. */
function smeared(t: number, w: number): number {
  if (t >= w) return t;
  if (t <= -w) return 0;
  return ((t + w) * (t + w)) / (4 * w);
}

/** A flat part leaning by more than 7 deg is no flat part: the same bend, seen from its other side. */
const STEEPEST_TILT = 0.123;

export interface BentLineRange {
  readonly side: 1 | -1;
  readonly bends: readonly number[];
  readonly lengths: readonly number[];
  readonly minSlope: number;
  readonly maxSlope: number;
  readonly smear: number;
}

/** Straight line through the points, robust. */
export function fitFlat(points: readonly LinePoint[], scale: number): BentLine {
  const work = workspace(points);
  work.bent.fill(0);
  const solved = robustLinear(work, 0, 2, scale);
  return {
    shape: 'flat',
    side: 0,
    bend: 0,
    atBend: work.x[0]!,
    tilt: work.x[1]!,
    slope: 0,
    length: Number.POSITIVE_INFINITY,
    smear: 0,
    cost: solved,
    points: points.length,
  };
}

/**
 * The best line bent towards one side, over a raster of bends and ramp lengths, then refined about the best.
 * @param scale size of a residual beyond which a point counts less (Huber), tangent units.
 * @returns null when no bend gives a slope inside the range.
 */
export function fitBent(points: readonly LinePoint[], range: BentLineRange, scale: number): BentLine | null {
  const work = workspace(points);
  let best: BentLine | null = null;
  const tryAt = (bend: number, length: number): boolean => {
    const shape = { side: range.side, bend, length, smear: range.smear };
    for (let i = 0; i < work.n; i++) work.bent[i] = ramp(shape, work.u[i]!);
    const cost = robustLinear(work, bend, 3, scale);
    const [atBend, tilt, slope] = work.x as unknown as readonly [number, number, number];
    if (!(slope >= range.minSlope && slope <= range.maxSlope)) return false;
    if (Math.abs(tilt) > STEEPEST_TILT) return false;
    if (best && cost >= best.cost) return false;
    const kind: LineShape = Number.isFinite(length) ? 'step' : 'rise';
    best = { shape: kind, ...shape, atBend, tilt, slope, cost, points: points.length };
    return true;
  };
  for (const length of range.lengths) for (const bend of range.bends) tryAt(bend, length);
  let stepBend = range.bends.length > 1 ? Math.abs(range.bends[1]! - range.bends[0]!) / 2 : 0.0005;
  let stepLength = range.lengths.length > 1 ? Math.abs(range.lengths[1]! - range.lengths[0]!) / 2 : 0;
  for (let i = 0; best && i < 12; i++) {
    const { bend, length }: BentLine = best;
    let moved = tryAt(bend + stepBend, length) || tryAt(bend - stepBend, length);
    if (stepLength > 0) {
      moved = tryAt(bend, length + stepLength) || moved;
      if (!moved && length > stepLength) moved = tryAt(bend, length - stepLength);
    }
    if (!moved) {
      stepBend /= 2;
      stepLength /= 2;
    }
  }
  return best;
}

/** Flat arrays for the inner loops: a search tries some thousand lines. */
interface Workspace {
  readonly n: number;
  readonly u: Float64Array;
  readonly v: Float64Array;
  readonly weight: Float64Array;
  readonly bent: Float64Array;
  readonly x: Float64Array;
}

function workspace(points: readonly LinePoint[]): Workspace {
  return {
    n: points.length,
    u: Float64Array.from(points, (p) => p.u),
    v: Float64Array.from(points, (p) => p.v),
    weight: Float64Array.from(points, (p) => p.weight),
    bent: new Float64Array(points.length),
    x: new Float64Array(3),
  };
}

/**
 * Weighted least squares of v on (1, u - bend, bent) with Huber weights, three rounds; the answer goes to `work.x`.
 * @param terms 2 without the bent term, 3 with it.
 * @returns the robust cost.
 */
function robustLinear(work: Workspace, bend: number, terms: 2 | 3, scale: number): number {
  const { n, u, v, weight, bent, x } = work;
  let known = false;
  for (let round = 0; round < 3; round++) {
    let s0 = 0;
    let s1 = 0;
    let s2 = 0;
    let s11 = 0;
    let s12 = 0;
    let s22 = 0;
    let r0 = 0;
    let r1 = 0;
    let r2 = 0;
    for (let i = 0; i < n; i++) {
      const a = u[i]! - bend;
      const b = bent[i]!;
      const y = v[i]!;
      let w = weight[i]!;
      if (known) {
        const r = Math.abs(y - x[0]! - x[1]! * a - x[2]! * b);
        if (r > scale) w *= scale / r;
      }
      s0 += w;
      s1 += w * a;
      s2 += w * b;
      s11 += w * a * a;
      s12 += w * a * b;
      s22 += w * b * b;
      r0 += w * y;
      r1 += w * a * y;
      r2 += w * b * y;
    }
    if (terms === 2) solve2(x, s0, s1, s11, r0, r1);
    else solve3(x, s0, s1, s2, s11, s12, s22, r0, r1, r2);
    known = true;
  }
  let cost = 0;
  for (let i = 0; i < n; i++) {
    const r = Math.abs(v[i]! - x[0]! - x[1]! * (u[i]! - bend) - x[2]! * bent[i]!);
    cost += weight[i]! * (r <= scale ? r * r : scale * (2 * r - scale));
  }
  return cost;
}

/** Symmetric 2 x 2 system; not-a-number when singular, which no comparison accepts. */
function solve2(x: Float64Array, a: number, b: number, c: number, p: number, q: number): void {
  const det = a * c - b * b;
  x[0] = (p * c - b * q) / det;
  x[1] = (a * q - b * p) / det;
  x[2] = 0;
}

/** Symmetric 3 x 3 system [a b c; b d e; c e f] by cofactors: called tens of thousands of times. */
function solve3(
  x: Float64Array,
  a: number,
  b: number,
  c: number,
  d: number,
  e: number,
  f: number,
  p: number,
  q: number,
  r: number,
): void {
  const c00 = d * f - e * e;
  const c01 = c * e - b * f;
  const c02 = b * e - c * d;
  const det = a * c00 + b * c01 + c * c02;
  x[0] = (c00 * p + c01 * q + c02 * r) / det;
  x[1] = (c01 * p + (a * f - c * c) * q + (b * c - a * e) * r) / det;
  x[2] = (c02 * p + (b * c - a * e) * q + (a * d - b * b) * r) / det;
}
