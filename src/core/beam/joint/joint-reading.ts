import type { LightGrid } from '../../sampling/light-grid.ts';
import { tanFromDeg } from '../../units.ts';
import { alignedProfile } from '../aligned-profile.ts';
import { bentLineAt } from '../bent-line.ts';
import { profileNoise } from '../profile-noise.ts';
import { edgePoints, type TracedEdge } from '../trace-edge.ts';
import { type EdgeLineFit, fitEdgeLine, LINE_WINDOW } from './edge-line-fit.ts';
import { DEG } from './edge-shape.ts';
import { type LampFilling, LIKELY_FILLINGS, litHeights, litSpots } from './lamp-filling.ts';
import { fitProfile, type ProfileFit, type SmearedProfile } from './profile-fit.ts';

/** What is known of the lit opening and where the board stands. */
export interface LitLamp {
  readonly heightMm: number;
  readonly widthMm: number;
  /** Relative standard uncertainty of the size. */
  readonly uSize: number;
  readonly filling: LampFilling | 'unknown';
  readonly distanceMm: number;
}

/** One way in which the lamp may be lit, and the far edge behind the board's light if it is. */
export interface FillingFit {
  readonly filling: LampFilling;
  readonly fit: ProfileFit;
  /** How likely this way is beside the others that were tried; they add up to 1. */
  readonly weight: number;
}

/** The joint fit of an edge: every column about the flat part, then every column along the line. */
export interface JointReading {
  readonly given: SmearedProfile;
  readonly fillings: readonly FillingFit[];
  /** Inflection on the board above the traced line, and its standard uncertainty, tangent units. */
  readonly above: number;
  readonly uAbove: number;
  /** Null for a beam without elbow, and where too little of it is seen. */
  readonly line: EdgeLineFit | null;
}

const REACH = { below: tanFromDeg(2.2), above: tanFromDeg(2.2) };
/**
 * Fits are compared by their misfit divided by this: no family of edges follows a real lamp so well that a small
 * difference of misfit could prove how it is lit.
 */
const TEMPER = 3;
/**
 * Columns by themselves, then with one neighbour on either side, up to these scatters, deg; noisier photos average over
 * 0.7 deg. That flattens a short ramp, so ramps bear more noise before it is done.
 */
const MOST_SCATTER = { rise: [0.02, 0.02], step: [0.03, 0.05] } as const;

/**
 * @param grid light without what is not the lamp's.
 * @param columns about the flat part, ascending.
 * @returns null when the profile shows too little for a fit.
 */
export function readJoint(
  grid: LightGrid,
  edge: TracedEdge,
  columns: readonly number[],
  lamp: LitLamp,
): JointReading | null {
  const heightAt = (u: number) => bentLineAt(edge.line, u);
  const profile = alignedProfile(grid, columns, heightAt, REACH);
  const first = Math.round(profile.v0 / profile.dv);
  const uLog = profileNoise(grid, columns, heightAt, first, profile.log.length);
  const given: SmearedProfile = { profile, uLog, halfHeightDeg: lamp.heightMm / 2 / lamp.distanceMm / DEG };
  const fillings = fitFillings(given, lamp);
  const best = fillings[0];
  if (!best) return null;
  const above = fillings.reduce((s, f) => s + f.weight * f.fit.onBoard, 0);
  const between = fillings.reduce((s, f) => s + f.weight * (f.fit.onBoard - above) ** 2, 0);
  return {
    given,
    fillings,
    above,
    uAbove: Math.hypot(best.fit.uBoard, Math.sqrt(between)),
    line: fitLine(grid, edge, best, lamp),
  };
}

/** A far edge for each way of filling that is possible, the likeliest first. */
function fitFillings(given: SmearedProfile, lamp: LitLamp): readonly FillingFit[] {
  const wide = lamp.widthMm > 2.5 * lamp.heightMm;
  const tried =
    lamp.filling !== 'unknown' ? [lamp.filling] : wide ? (['strip', 'lens-strip'] as const) : LIKELY_FILLINGS;
  const fits: { filling: LampFilling; fit: ProfileFit }[] = [];
  let start: ProfileFit | null = null;
  for (const filling of tried) {
    const fit = fitProfile(given, litHeights(filling), lamp.uSize, start);
    if (fit === null || !Number.isFinite(fit.cost)) continue;
    start ??= fit;
    fits.push({ filling, fit });
  }
  const least = Math.min(...fits.map((f) => f.fit.cost));
  const likely = fits.map((f) => Math.exp((least - f.fit.cost) / TEMPER));
  const sum = likely.reduce((a, b) => a + b, 0);
  return fits.map((f, i) => ({ ...f, weight: likely[i]! / sum })).sort((a, b) => b.weight - a.weight);
}

function fitLine(grid: LightGrid, edge: TracedEdge, best: FillingFit, lamp: LitLamp): EdgeLineFit | null {
  if (edge.line.side === 0) return null;
  const smear = {
    shape: best.fit.shape,
    spots: litSpots(best.filling),
    halfWidth: lamp.widthMm / 2 / lamp.distanceMm / DEG,
    halfHeight: (best.fit.size * lamp.heightMm) / 2 / lamp.distanceMm / DEG,
  };
  const nearBend = (side: 1 | -1) =>
    Math.round((edge.line.bend + side * LINE_WINDOW * DEG - grid.u0) / grid.du);
  const from = Math.max(edge.from, nearBend(-1));
  const to = Math.min(edge.to, nearBend(1));
  let fit: EdgeLineFit | null = null;
  const most = Number.isFinite(edge.line.length) ? MOST_SCATTER.step : MOST_SCATTER.rise;
  for (const neighbours of [0, 1] as const) {
    const points = edgePoints(grid, from, to, edge.line, neighbours);
    fit = fitEdgeLine(edge.line, points, smear);
    if (fit && fit.scatter < most[neighbours]) return fit;
  }
  return fitEdgeLine(edge.line, edge.points, smear) ?? fit;
}
