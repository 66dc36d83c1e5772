import type { LightGrid } from '../sampling/light-grid.ts';
import { tanFromDeg } from '../units.ts';
import { alignedProfile, DARKEST } from './aligned-profile.ts';
import { type BentLine, bentLineAt, type LinePoint } from './bent-line.ts';
import { findEdgePath } from './edge-path.ts';
import type { EdgePoint } from './finding.ts';
import { findInflection, QUIET_RULE } from './inflection.ts';
import { chooseShape } from './shape-choice.ts';

/** The cut-off traced across the board: its shape and the points it rests on. */
export interface TracedEdge {
  readonly line: BentLine;
  readonly points: readonly EdgePoint[];
  /** Columns whose edge was strong enough to look at. */
  readonly from: number;
  readonly to: number;
  /** Median fall of log10 E over 0.1 deg along the edge. */
  readonly strength: number;
  /** Robust spread of the points about the line, tangent units. */
  readonly spread: number;
}

/** Columns on either side that are averaged along the edge for one point: 0.3 deg. */
const NEIGHBOURS = 3;
const REACH = { below: tanFromDeg(1.0), above: tanFromDeg(1.0) };
/** How far from the traced line a column's inflection may lie. */
const SEARCH = tanFromDeg(0.45);
/** Weaker than this per 0.1 deg is a gradient of light, no cut-off (the annexes ask for 0.08 to 0.13 far away). */
export const WEAKEST_EDGE = 0.05;

/**
 * Trace the cut-off: the strongest continuous fall of log light, then the inflection of log10 E column by column,
 * then the simplest line through them, twice over.
 *
 * @param smear half width over which near field smears the elbow sideways, tangent units.
 * @returns null when no continuous edge crosses at least 2.5 deg of the board.
 */
export function traceEdge(grid: LightGrid, smear: number): TracedEdge | null {
  if (grid.columns < 25 || grid.rows < 60) return null;
  const logLight = flooredLog(grid);
  const path = findEdgePath(grid, logLight, 0, grid.columns - 1);
  const span = strongSpan(path.strength);
  if (!span) return null;
  const { from, to, strength } = span;
  if (strength < WEAKEST_EDGE || (to - from) * grid.du < tanFromDeg(2.5)) return null;

  let points: LinePoint[] = [];
  for (let c = from; c <= to; c++) {
    if (path.strength[c]! < 0.3 * strength) continue;
    points.push({ u: grid.u0 + c * grid.du, v: grid.v0 + path.row[c]! * grid.dv, weight: 1 });
  }
  if (points.length < 20) return null;
  // A third of the points is enough to see the shape; the rounds below use them all.
  let line = chooseShape(
    points.filter((_, i) => i % 3 === 0),
    { smear, scale: tanFromDeg(0.12) },
  );
  let edge: EdgePoint[] = [];
  for (let round = 0; round < 3; round++) {
    // The first rounds look at every second column: they only need the line's shape.
    edge = edgePoints(grid, from, to, line, NEIGHBOURS, round === 2 ? 1 : 2);
    points = windowed(edge, line);
    if (points.length < 16) return null;
    const scale = Math.max(
      tanFromDeg(0.015),
      1.5 * medianOf(points.map((p) => Math.abs(p.v - bentLineAt(line, p.u)))),
    );
    // How much of its size the lamp really smears over depends on how it fills: the points choose, in the last round.
    const tried = (round === 2 && smear > 0 ? [1, 0.7, 0.4, 0.15] : [1]).map((share) =>
      chooseShape(points, { smear: smear * share, scale, about: round === 2 ? line : null }),
    );
    line = tried.reduce((best, other) => (other.cost < 0.97 * best.cost ? other : best));
  }
  const residuals = points.map((p) => Math.abs(p.v - bentLineAt(line, p.u)));
  const spread = 1.4826 * medianOf(residuals);
  const limit = Math.max(tanFromDeg(0.08), 4 * spread);
  const used = new Set(points.map((p) => p.u));
  return {
    line,
    points: edge.map((p) => ({
      ...p,
      used: used.has(p.u) && Math.abs(p.v - bentLineAt(line, p.u)) <= limit,
    })),
    from,
    to,
    strength,
    spread,
  };
}

/**
 * The inflection of each column, its neighbours averaged along the line.
 * @param neighbours columns on either side: fewer follow a short ramp better and are noisier.
 * @param every only every second, third ... column.
 */
export function edgePoints(
  grid: LightGrid,
  from: number,
  to: number,
  line: BentLine,
  neighbours = NEIGHBOURS,
  every = 1,
): EdgePoint[] {
  const out: EdgePoint[] = [];
  for (let c = from; c <= to; c += every) {
    const columns: number[] = [];
    for (let k = -neighbours; k <= neighbours; k++) if (c + k >= from && c + k <= to) columns.push(c + k);
    const profile = alignedProfile(grid, columns, (u) => bentLineAt(line, u), REACH);
    const found = findInflection(profile, [-SEARCH, SEARCH], QUIET_RULE);
    if (!found || found.g < WEAKEST_EDGE * 0.7) continue;
    if (Math.abs(found.v) > SEARCH * 0.95) continue;
    const u = grid.u0 + c * grid.du;
    out.push({ u, v: bentLineAt(line, u) + found.v, uV: tanFromDeg(0.01), used: true });
  }
  return out;
}

/**
 * Points that speak of flat part and elbow: within 4.5 deg of the bend (of the middle of what is seen, when there is
 * none), fading out. Further aside the beam is dim, and its edge belongs to no rule.
 */
function windowed(edge: readonly EdgePoint[], line: BentLine): LinePoint[] {
  const full = tanFromDeg(3.6);
  const none = tanFromDeg(5.5);
  const middle = line.side === 0 ? medianOf(edge.map((p) => p.u)) : line.bend;
  return edge
    .map((p) => {
      const away = Math.abs(p.u - middle);
      const weight = away <= full ? 1 : away >= none ? 0 : (none - away) / (none - full);
      return { u: p.u, v: p.v, weight };
    })
    .filter((p) => p.weight > 0.02);
}

/** log10 of light with a floor that lifts with the scene, for finding only. */
function flooredLog(grid: LightGrid): Float64Array {
  // Every 7th cell is plenty for a quantile; typed arrays sort numbers fast, NaN last.
  const sample = grid.light.filter((x, i) => i % 7 === 0 && Number.isFinite(x)).sort();
  const bright = sample[Math.floor(sample.length * 0.98)] ?? 0;
  const floor = Math.max(DARKEST, 0.004 * bright);
  const out = new Float64Array(grid.light.length);
  for (let i = 0; i < out.length; i++) {
    const e = grid.light[i]!;
    out[i] = Number.isFinite(e) ? Math.log10(Math.max(0, e) + floor) : Number.NaN;
  }
  return out;
}

/** The longest run of columns whose edge is at least a third as strong as a good one; gaps of 0.5 deg are bridged. */
function strongSpan(strength: Float64Array): { from: number; to: number; strength: number } | null {
  const sorted = [...strength].filter((s) => s > 0).sort((a, b) => a - b);
  if (sorted.length === 0) return null;
  const good = sorted[Math.floor(sorted.length * 0.75)]!;
  let best: { from: number; to: number } | null = null;
  let from = -1;
  let lastGood = -1;
  const close = () => {
    if (from >= 0 && (!best || lastGood - from > best.to - best.from)) best = { from, to: lastGood };
  };
  for (let c = 0; c < strength.length; c++) {
    if (strength[c]! >= good / 3) {
      if (from < 0) from = c;
      lastGood = c;
    } else if (from >= 0 && c - lastGood > 8) {
      close();
      from = -1;
    }
  }
  close();
  return best ? { ...(best as { from: number; to: number }), strength: good } : null;
}

export function medianOf(values: readonly number[]): number {
  if (values.length === 0) return Number.NaN;
  const sorted = [...values].sort((a, b) => a - b);
  const middle = sorted.length >> 1;
  return sorted.length % 2 === 1 ? sorted[middle]! : (sorted[middle - 1]! + sorted[middle]!) / 2;
}
