import { tanFromDeg } from '../../units.ts';
import { alignedProfile } from '../aligned-profile.ts';
import { smoothLog } from '../inflection.ts';
import { lineAt, middleOf, type SeenLight } from './seen-light.ts';

/** Another edge that runs along the first one. */
export interface SecondEdge {
  /** Height above the first one, deg; negative below. */
  readonly aboveDeg: number;
  /** Robust spread of that height along the edge, deg. */
  readonly spreadDeg: number;
  /** Light that ends at the upper one of the two, over the bright light below both. */
  readonly share: number;
  /** In how many of the pieces of the edge it was seen. */
  readonly seenIn: number;
  readonly of: number;
}

const WIDTH = tanFromDeg(0.8);
const REACH = tanFromDeg(4);
const SIGMA = tanFromDeg(0.1);
const NEAR_LINE = tanFromDeg(0.35);
/** Pieces this far about the elbow are looked at. */
const ASIDE = tanFromDeg(5);
/** Nearer than this two edges are one soft one, even with a small lamp. */
const APART = tanFromDeg(0.5);
/** A top of the fall has nothing steeper within this. */
const TOP = tanFromDeg(0.12);
/** A fall counts when it is this share of the first one's, and the light between falls this much slower. */
const LEAST_FALL = 0.15;
const LEAST_DIP = 0.8;
/** Light that falls there must be this much, log10: a fifth. */
const LEAST_LOSS = 0.09;

interface Fall {
  /** Height above the line, tangent units. */
  readonly at: number;
  /** Light lost there, log10, and the light above it over the bright light. */
  readonly share: number;
}

/**
 * Looks for a second fall of log light above or below the first one, at the same height over several pieces of the edge.
 * A lit opening can draw edges as far apart as its bright rows are (a ring: nine tenths of its height): only beyond that
 * is it a second edge.
 */
export function secondEdge(seen: SeenLight): SecondEdge | null {
  const { grid } = seen;
  const middle = middleOf(seen);
  const apart = Math.max(APART, 1.8 * seen.halfHeight + tanFromDeg(0.3));
  const above: (Fall | null)[] = [];
  const below: (Fall | null)[] = [];
  for (let u = middle - ASIDE; u < middle + ASIDE; u += WIDTH) {
    const columns: number[] = [];
    for (let c = 0; c < grid.columns; c++) {
      const at = grid.u0 + c * grid.du;
      if (at >= u && at < u + WIDTH) columns.push(c);
    }
    if (columns.length < 4) continue;
    const profile = alignedProfile(grid, columns, (x) => lineAt(seen, x), { below: REACH, above: REACH });
    const smooth = smoothLog(profile.log, SIGMA / profile.dv);
    const falls = new Float64Array(smooth.length).fill(Number.NaN);
    for (let i = 1; i < smooth.length - 1; i++)
      if (Number.isFinite(profile.log[i]!)) falls[i] = smooth[i - 1]! - smooth[i + 1]!;
    const index = (h: number) => Math.round((h - profile.v0) / profile.dv);
    const first = greatest(falls, index(-NEAR_LINE), index(NEAR_LINE));
    if (first < 0 || !(falls[first]! > 0)) continue;
    const other = (from: number, to: number) => anotherFall(profile, smooth, falls, first, from, to);
    above.push(other(first + Math.round(apart / profile.dv), smooth.length - 2));
    below.push(other(1, first - Math.round(apart / profile.dv)));
  }
  const up = agreed(above);
  const down = agreed(below);
  if (up === null || down === null) return up ?? down;
  return up.share * up.seenIn > down.share * down.seenIn ? up : down;
}

function anotherFall(
  profile: { readonly v0: number; readonly dv: number },
  smooth: Float64Array,
  falls: Float64Array,
  first: number,
  from: number,
  to: number,
): Fall | null {
  const at = greatestTop(falls, from, to, Math.round(TOP / profile.dv));
  if (at < 0 || falls[at]! < LEAST_FALL * falls[first]!) return null;
  const [a, b] = at > first ? [first, at] : [at, first];
  let slowest = a;
  for (let i = a; i <= b; i++) if (falls[i]! < falls[slowest]!) slowest = i;
  if (!(falls[slowest]! < LEAST_DIP * Math.min(falls[at]!, falls[first]!))) return null;
  // What falls at it: from the slow place between the edges to where it has run out on the other side.
  let end = at;
  const out = at > first ? 1 : -1;
  while (end + out > 0 && end + out < falls.length - 1 && falls[end + out]! > 0.2 * falls[at]!) end += out;
  const [low, high] = at > first ? [slowest, end] : [end, slowest];
  const loss = smooth[low]! - smooth[high]!;
  if (!(loss > LEAST_LOSS)) return null;
  // Light that goes beyond the lower edge, over the bright light below it.
  let bright = Number.NEGATIVE_INFINITY;
  for (let i = Math.max(0, a - Math.round(tanFromDeg(1.5) / profile.dv)); i < a; i++)
    if (smooth[i]! > bright) bright = smooth[i]!;
  const share = 10 ** (smooth[slowest]! - bright);
  return { at: profile.v0 + at * profile.dv - (profile.v0 + first * profile.dv), share };
}

/** The height on which at least half of the pieces agree. */
function agreed(falls: readonly (Fall | null)[]): SecondEdge | null {
  const found = falls.filter((f) => f !== null);
  if (found.length < 3 || 2 * found.length < falls.length) return null;
  const heights = found.map((f) => f.at).sort((a, b) => a - b);
  const middle = heights[heights.length >> 1]!;
  const near = found.filter((f) => Math.abs(f.at - middle) < tanFromDeg(0.3));
  if (near.length < 3 || 2 * near.length < falls.length) return null;
  const off = near.map((f) => Math.abs(f.at - middle)).sort((a, b) => a - b);
  const shares = near.map((f) => f.share).sort((a, b) => a - b);
  return {
    aboveDeg: middle / tanFromDeg(1),
    spreadDeg: (1.4826 * off[off.length >> 1]!) / tanFromDeg(1),
    share: shares[shares.length >> 1]!,
    seenIn: near.length,
    of: falls.length,
  };
}

/** The greatest place that is a top of its own, not the foot of what lies outside the range. */
function greatestTop(values: Float64Array, from: number, to: number, reach: number): number {
  let best = -1;
  for (let i = Math.max(reach, from); i <= Math.min(values.length - 1 - reach, to); i++) {
    const here = values[i]!;
    if (!(here > (best < 0 ? 0 : values[best]!))) continue;
    let top = true;
    for (let k = -reach; k <= reach && top; k++) top = !(values[i + k]! > here);
    if (top) best = i;
  }
  return best;
}

function greatest(values: Float64Array, from: number, to: number): number {
  let best = -1;
  for (let i = Math.max(0, from); i <= Math.min(values.length - 1, to); i++)
    if (values[i]! > (best < 0 ? Number.NEGATIVE_INFINITY : values[best]!)) best = i;
  return best;
}
