import { inverse, Matrix } from 'ml-matrix';
import { tanFromDeg } from '../units.ts';
import { type BentLine, bentLineAt } from './bent-line.ts';
import type { EdgePoint } from './finding.ts';

export interface ElbowMeasure {
  readonly u: number;
  readonly v: number;
  readonly uU: number;
  readonly uV: number;
}

/** Neighbouring points share their columns (three on either side): this many are worth one. */
const SHARED = 7;

/**
 * Where the flat part ends, with the uncertainty that the points' own scatter leaves: the covariance of the bent
 * line's parameters from its derivatives, scatter taken from the residuals.
 *
 * @param line the chosen bent line (rise or step).
 * @returns null for a flat line, or when the points can't fix the bend.
 */
export function measureElbow(line: BentLine, edge: readonly EdgePoint[]): ElbowMeasure | null {
  if (line.side === 0) return null;
  const points = edge.filter((p) => p.used);
  const withLength = Number.isFinite(line.length);
  const n = withLength ? 5 : 4;
  if (points.length <= n + 2) return null;
  const change = (k: number, by: number): BentLine => {
    if (k === 0) return { ...line, bend: line.bend + by };
    if (k === 1) return { ...line, atBend: line.atBend + by };
    if (k === 2) return { ...line, tilt: line.tilt + by };
    if (k === 3) return { ...line, slope: line.slope + by };
    return { ...line, length: line.length + by };
  };
  const jacobian = new Matrix(points.length, n);
  let squares = 0;
  points.forEach((p, i) => {
    squares += (p.v - bentLineAt(line, p.u)) ** 2;
    for (let k = 0; k < n; k++) {
      const h = 1e-4;
      jacobian.set(i, k, (bentLineAt(change(k, h), p.u) - bentLineAt(change(k, -h), p.u)) / (2 * h));
    }
  });
  const variance = Math.max(squares / (points.length - n), tanFromDeg(0.004) ** 2) * SHARED;
  let covariance: Matrix;
  try {
    covariance = inverse(jacobian.transpose().mmul(jacobian)).mul(variance);
  } catch {
    return null;
  }
  const seen = bendSeen(line);
  return {
    u: seen,
    v: line.atBend + line.tilt * (seen - line.bend),
    uU: Math.sqrt(Math.max(0, covariance.get(0, 0))),
    uV: Math.sqrt(Math.max(0, covariance.get(1, 1))),
  };
}

/**
 * Where the elbow stands on the board: the level part meets the steepest tangent of the ramp. A short ramp smeared
 * over more than its own length (2w) keeps its middle but loses its slope, which moves that place outwards: by
 * w - length/2 for a box. Lamps fill rounder than a box and keep a steeper middle, so half of that is taken.
 */
function bendSeen(line: BentLine): number {
  if (!Number.isFinite(line.length) || 2 * line.smear <= line.length) return line.bend;
  return line.bend - line.side * Math.min(0.5 * (line.smear - line.length / 2), line.length / 2);
}
