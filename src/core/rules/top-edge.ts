import type { Tangent } from '../frames.ts';
import { combine, type Estimate } from '../uncertainty/estimate.ts';
import { tanFromDeg } from '../units.ts';
import type { TopEdge } from './judge-input.ts';

/** Where the right cut-off of a US lamp is read: 2.0 deg right of V-V (standards' row US-2), per cent. */
export const VOR_OFFSET_PCT = 100 * tanFromDeg(2);
/** An edge is looked at over 5 deg each side of V-V (older EEC text, standards' row CUT-8), per cent. */
const EDGE_REACH_PCT = 100 * tanFromDeg(5);

/**
 * The drop of a fitted edge in another column than the one it is stated for.
 *
 * @param line the edge as a polyline of at least two tangents, in any order; points in one column are refused as null.
 * @param atOffsetPct the column where `dropPct` holds, per cent, + right.
 * @param dropPct drop there with all its causes; the difference along the line is taken as exact.
 * @param wantedOffsetPct the column asked for.
 * @returns null when either column lies beyond the line's ends.
 */
export function dropOnEdgeLine(
  line: readonly Tangent[],
  atOffsetPct: number,
  dropPct: Estimate,
  wantedOffsetPct: number,
): Estimate | null {
  const here = lineDropPct(line, atOffsetPct);
  const there = lineDropPct(line, wantedOffsetPct);
  if (here === null || there === null) return null;
  return combine([{ weight: 1, of: dropPct }], there - here);
}

/**
 * Highest and lowest point of the whole upper edge within 5 deg of V-V, peak included.
 * @see dropOnEdgeLine for the arguments.
 */
export function topEdgeOf(line: readonly Tangent[], atOffsetPct: number, dropPct: Estimate): TopEdge | null {
  const here = lineDropPct(line, atOffsetPct);
  if (here === null) return null;
  const ends = [-EDGE_REACH_PCT, EDGE_REACH_PCT].map((pct) => lineDropPct(line, pct));
  const inside = line.filter((p) => Math.abs(100 * p.u) <= EDGE_REACH_PCT).map((p) => -100 * p.v);
  const drops = [...inside, ...ends.filter((d) => d !== null)];
  if (drops.length === 0) return null;
  return {
    highestDropPct: combine([{ weight: 1, of: dropPct }], Math.min(...drops) - here),
    lowestDropPct: combine([{ weight: 1, of: dropPct }], Math.max(...drops) - here),
  };
}

function lineDropPct(line: readonly Tangent[], offsetPct: number): number | null {
  const points = line.toSorted((a, b) => a.u - b.u);
  const u = offsetPct / 100;
  for (let i = 1; i < points.length; i++) {
    const a = points[i - 1]!;
    const b = points[i]!;
    if (a.u <= u && u <= b.u && b.u > a.u) return -100 * (a.v + ((b.v - a.v) * (u - a.u)) / (b.u - a.u));
  }
  return null;
}
