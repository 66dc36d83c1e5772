import type { TrafficSide } from '../core/frames.ts';
import { radFromDeg } from '../core/units.ts';

/**
 * - `flat`: one level line.
 * - `rise`: level, then 15 deg up without end on the kerb side (standards CUT-2, line HV-H3).
 * - `step`: level, then 45 deg up to a shelf 1 % higher (CUT-2, line HV-H1-H4).
 * - `short-ramp`: level, then a ramp of any slope up to a shelf of any height.
 * - `us-left`: level on the left, which is aimed; a ramp to a shelf on the right.
 * - `us-right`: the aimed level part is the shelf on the right; a ramp leads down to a lower level on the left.
 * - `driving`: no cut-off, only a hot spot.
 */
export type BeamKind = 'flat' | 'rise' | 'step' | 'short-ramp' | 'us-left' | 'us-right' | 'driving';

/** The line between light and dark as built: elbow at (0, 0), tangents, before aim. */
export interface CutOffShape {
  /** Side of the rise seen from the lamp; none for a flat line. */
  readonly riseSide: 'left' | 'right' | 'none';
  /** Slope of the ramp and where it ends; 0 and infinite for a flat line and for a rise without end. */
  readonly rampSlope: number;
  readonly rampRun: number;
  /** Height of the line at u. */
  readonly height: (u: number) => number;
  /** Its slope dv/du at u. */
  readonly slope: (u: number) => number;
}

export interface CutOffOptions {
  readonly kind: BeamKind;
  readonly traffic: TrafficSide;
  readonly rampDeg: number;
  readonly shelfPct: number;
  /** Radius-like rounding of elbow and shelf corner, deg. */
  readonly elbowRoundDeg: number;
}

const softPlus = (x: number, round: number): number => {
  const t = x / round;
  // Beyond 18 widths the rounding is below 2e-8 of them.
  return t > 18 ? x : t < -18 ? 0 : round * Math.log1p(Math.exp(t));
};
const softStep = (x: number, round: number): number => {
  const t = x / round;
  return t > 18 ? 1 : t < -18 ? 0 : 1 / (1 + Math.exp(-t));
};

/** Slope and height of the ramp of each kind; the standards fix the first two, the rest may be chosen. */
function rampOf(options: CutOffOptions): { readonly deg: number; readonly shelf: number } {
  if (options.kind === 'rise') return { deg: 15, shelf: Number.POSITIVE_INFINITY };
  if (options.kind === 'step') return { deg: 45, shelf: 0.01 };
  return { deg: options.rampDeg, shelf: options.shelfPct / 100 };
}

/** @returns the cut-off line, or null for a driving beam. */
export function cutOffShape(options: CutOffOptions): CutOffShape | null {
  if (options.kind === 'driving') return null;
  if (options.kind === 'flat') {
    return { riseSide: 'none', rampSlope: 0, rampRun: 0, height: () => 0, slope: () => 0 };
  }
  const us = options.kind === 'us-left' || options.kind === 'us-right';
  const riseSide = us ? 'right' : options.traffic;
  const ramp = rampOf(options);
  const rampSlope = Math.tan(radFromDeg(ramp.deg));
  const rampRun = ramp.shelf / rampSlope;
  // A corner rounder than a quarter of the ramp would leave no ramp at all.
  const round = Math.min(radFromDeg(options.elbowRoundDeg), rampRun / 8) / 2;
  const sign = riseSide === 'right' ? 1 : -1;
  const endless = !Number.isFinite(rampRun);
  return {
    riseSide,
    rampSlope,
    rampRun,
    height: (u) => {
      const x = sign * u;
      return rampSlope * (softPlus(x, round) - (endless ? 0 : softPlus(x - rampRun, round)));
    },
    slope: (u) => {
      const x = sign * u;
      return sign * rampSlope * (softStep(x, round) - (endless ? 0 : softStep(x - rampRun, round)));
    },
  };
}
