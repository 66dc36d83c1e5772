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
  const solved = robustLinear(points, (p) => [1, p.u], scale);
  return {
    shape: 'flat',
    side: 0,
    bend: 0,
    atBend: solved.x[0]!,
    tilt: solved.x[1]!,
    slope: 0,
    length: Number.POSITIVE_INFINITY,
    smear: 0,
    cost: solved.cost,
    points: points.length,
  };
}

/**
 * The best line bent towards one side, over a raster of bends and ramp lengths, then refined about the best.
 * @param scale size of a residual beyond which a point counts less (Huber), tangent units.
 * @returns null when no bend gives a slope inside the range.
 */
export function fitBent(points: readonly LinePoint[], range: BentLineRange, scale: number): BentLine | null {
  const tryAt = (bend: number, length: number): BentLine | null => {
    const shape = { side: range.side, bend, length, smear: range.smear };
    const solved = robustLinear(points, (p) => [1, p.u - bend, ramp(shape, p.u)], scale);
    const slope = solved.x[2]!;
    if (!(slope >= range.minSlope && slope <= range.maxSlope)) return null;
    if (Math.abs(solved.x[1]!) > STEEPEST_TILT) return null;
    return {
      shape: Number.isFinite(length) ? 'step' : 'rise',
      ...shape,
      atBend: solved.x[0]!,
      tilt: solved.x[1]!,
      slope,
      cost: solved.cost,
      points: points.length,
    };
  };
  let best: BentLine | null = null;
  const keep = (line: BentLine | null) => {
    if (line && (!best || line.cost < best.cost)) best = line;
  };
  for (const length of range.lengths) for (const bend of range.bends) keep(tryAt(bend, length));
  if (!best) return null;
  let stepBend = range.bends.length > 1 ? Math.abs(range.bends[1]! - range.bends[0]!) : 0.001;
  let stepLength = range.lengths.length > 1 ? Math.abs(range.lengths[1]! - range.lengths[0]!) : 0;
  for (let i = 0; i < 14; i++) {
    const b: BentLine = best;
    keep(tryAt(b.bend + stepBend / 2, b.length));
    keep(tryAt(b.bend - stepBend / 2, b.length));
    if (stepLength > 0) {
      keep(tryAt(b.bend, b.length + stepLength / 2));
      if (b.length > stepLength) keep(tryAt(b.bend, b.length - stepLength / 2));
    }
    if ((best as BentLine) === b) {
      stepBend /= 2;
      stepLength /= 2;
    }
  }
  return best;
}

/** Weighted least squares with Huber weights, a few rounds. */
function robustLinear(
  points: readonly LinePoint[],
  basis: (p: LinePoint) => readonly number[],
  scale: number,
): { readonly x: readonly number[]; readonly cost: number } {
  const rows = points.map(basis);
  const n = rows[0]?.length ?? 0;
  const normal = new Float64Array(n * n);
  const rhs = new Float64Array(n);
  let x: readonly number[] | null = null;
  for (let round = 0; round < 3; round++) {
    normal.fill(0);
    rhs.fill(0);
    for (let i = 0; i < points.length; i++) {
      const row = rows[i]!;
      const p = points[i]!;
      const r = x ? Math.abs(p.v - dot(row, x)) : 0;
      const w = r > scale ? (p.weight * scale) / r : p.weight;
      for (let a = 0; a < n; a++) {
        const wa = w * row[a]!;
        rhs[a] = rhs[a]! + wa * p.v;
        for (let b = a; b < n; b++) normal[a * n + b] = normal[a * n + b]! + wa * row[b]!;
      }
    }
    for (let a = 0; a < n; a++) for (let b = 0; b < a; b++) normal[a * n + b] = normal[b * n + a]!;
    x = solveSmall(normal, rhs, n);
  }
  const solved = x ?? [];
  let cost = 0;
  for (let i = 0; i < points.length; i++) {
    const r = Math.abs(points[i]!.v - dot(rows[i]!, solved));
    cost += points[i]!.weight * (r <= scale ? r * r : scale * (2 * r - scale));
  }
  return { x: solved, cost };
}

/** Gaussian elimination with pivoting, n at most 3: called tens of thousands of times, so no matrix objects. */
function solveSmall(m: Float64Array, rhs: Float64Array, n: number): number[] {
  for (let k = 0; k < n; k++) {
    let pivot = k;
    for (let i = k + 1; i < n; i++) if (Math.abs(m[i * n + k]!) > Math.abs(m[pivot * n + k]!)) pivot = i;
    if (pivot !== k) {
      for (let j = 0; j < n; j++) {
        const t = m[k * n + j]!;
        m[k * n + j] = m[pivot * n + j]!;
        m[pivot * n + j] = t;
      }
      const t = rhs[k]!;
      rhs[k] = rhs[pivot]!;
      rhs[pivot] = t;
    }
    const d = m[k * n + k]!;
    // A singular system (all points at one place) fits nothing: not-a-number drops it.
    if (Math.abs(d) < 1e-15) return new Array<number>(n).fill(Number.NaN);
    for (let i = k + 1; i < n; i++) {
      const f = m[i * n + k]! / d;
      for (let j = k; j < n; j++) m[i * n + j] = m[i * n + j]! - f * m[k * n + j]!;
      rhs[i] = rhs[i]! - f * rhs[k]!;
    }
  }
  const x = new Array<number>(n).fill(0);
  for (let i = n - 1; i >= 0; i--) {
    let v = rhs[i]!;
    for (let j = i + 1; j < n; j++) v -= m[i * n + j]! * x[j]!;
    x[i] = v / m[i * n + i]!;
  }
  return x;
}

function dot(a: readonly number[], b: readonly number[]): number {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += a[i]! * b[i]!;
  return sum;
}
