import { tanFromDeg } from '../../units.ts';
import type { CutOffFinding } from '../finding.ts';
import { findInflection, QUIET_RULE } from '../inflection.ts';
import type { Sector } from './edge-survey.ts';

/** How well the level part holds together: heights over the line that was read, per cent. */
export interface Evenness {
  /** Robust spread (standard deviation) of the sectors about their own straight line. */
  readonly spreadPct: number;
  /** The sectors at the measured place against the straight line through the others. */
  readonly offPct: number;
  readonly sectors: number;
}

const SEARCH: readonly [number, number] = [-tanFromDeg(0.45), tanFromDeg(0.45)];
/** Nearer to the elbow near field bends the level part. */
const CLEAR_OF_ELBOW = tanFromDeg(0.8);
const MEASURED = tanFromDeg(1.1);

/**
 * The inflection of each sector of the level part. A real lamp's edge is level to some hundredths of a per cent
 * (standards: linearity within 0.2 deg); a ghost, a shadow's end, a stain or a speck moves some sectors and not others.
 * @returns null with fewer than four sectors: nothing to compare.
 */
export function evennessOf(sectors: readonly Sector[], finding: CutOffFinding): Evenness | null {
  const at = finding.dropAtOffsetPct / 100;
  const elbow = finding.elbow.found ? finding.elbow.offsetPct.value / 100 : null;
  const side = finding.riseSide === 'right' ? 1 : -1;
  const level = sectors.filter(
    (s) => elbow === null || finding.riseSide === 'none' || side * (s.u - elbow) < -CLEAR_OF_ELBOW,
  );
  const points = level.flatMap((s) => {
    const found = findInflection(s.profile, SEARCH, QUIET_RULE);
    return found ? [{ u: s.u, h: 100 * found.v }] : [];
  });
  if (points.length < 4) return null;
  const all = robustLine(points);
  const spread = 1.4826 * median(points.map((p) => Math.abs(p.h - all(p.u))));
  const here = points.filter((p) => Math.abs(p.u - at) <= MEASURED);
  const others = points.filter((p) => Math.abs(p.u - at) > MEASURED);
  if (here.length === 0 || others.length < 2) return { spreadPct: spread, offPct: 0, sectors: points.length };
  const by = others.length >= 3 ? robustLine(others) : all;
  const off = here.reduce((s, p) => s + p.h - by(p.u), 0) / here.length;
  return { spreadPct: spread, offPct: off, sectors: points.length };
}

/** Theil and Sen: the median of the slopes between all pairs, then of the heights. */
function robustLine(points: readonly { readonly u: number; readonly h: number }[]): (u: number) => number {
  const slopes: number[] = [];
  points.forEach((a, i) => {
    for (const b of points.slice(i + 1)) slopes.push((b.h - a.h) / (b.u - a.u));
  });
  const slope = median(slopes);
  const start = median(points.map((p) => p.h - slope * p.u));
  return (u) => start + slope * u;
}

export function median(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  const middle = sorted.length >> 1;
  if (sorted.length === 0) return Number.NaN;
  return sorted.length % 2 === 1 ? sorted[middle]! : (sorted[middle - 1]! + sorted[middle]!) / 2;
}
