import type { LightGrid } from '../../sampling/light-grid.ts';
import { tanFromDeg } from '../../units.ts';
import { alignedProfile } from '../aligned-profile.ts';
import type { CutOffFinding } from '../finding.ts';
import { type Profile, smoothLog } from '../inflection.ts';

/** One degree or so of the edge, its columns averaged along the line that was read. */
export interface Sector {
  /** Middle, tangent. */
  readonly u: number;
  /** log10 of the light against height above the line. */
  readonly profile: Profile;
  /** Fall of smoothed log10 light per 0.1 deg, going up; same steps as the profile. */
  readonly fall: Float64Array;
  /** Standard deviation that grain gives `fall`, same steps. */
  readonly grain: Float64Array;
  /** The greatest fall within reach of the line, and its index. */
  readonly edgeFall: number;
  readonly edgeAt: number;
}

/** How wide a sector is, and how far about the line it looks. */
const WIDTH = tanFromDeg(1);
const REACH = { below: tanFromDeg(3.6), above: tanFromDeg(3.6) };
/** Grain and JPEG ripple are smoothed away; a groove of 10 mm at 5 m is as wide as this. */
const SIGMA = tanFromDeg(0.09);
/** The edge's own greatest fall is looked for this far from the line. */
const NEAR_LINE = tanFromDeg(0.35);
/** Sectors further than this from the measured place say nothing about it. */
const FARTHEST = tanFromDeg(6);

/** The edge cut into sectors, from its first used point to its last. */
export function surveyEdge(grid: LightGrid, finding: CutOffFinding): readonly Sector[] {
  const heightAt = lineHeight(finding);
  const used = finding.edge.filter((p) => p.used);
  if (used.length === 0) return [];
  const from = Math.max(used[0]!.u, finding.dropAtOffsetPct / 100 - FARTHEST);
  const to = Math.min(used[used.length - 1]!.u, finding.dropAtOffsetPct / 100 + FARTHEST);
  const sectors: Sector[] = [];
  const count = Math.floor((to - from) / WIDTH);
  for (let k = 0; k < count; k++) {
    const u = from + ((k + 0.5) * (to - from)) / count;
    const columns: number[] = [];
    for (let c = 0; c < grid.columns; c++)
      if (Math.abs(grid.u0 + c * grid.du - u) <= WIDTH / 2) columns.push(c);
    const profile = alignedProfile(grid, columns, heightAt, REACH);
    const fall = fallOf(profile);
    const edgeAt = greatestIn(fall, indexAt(profile, -NEAR_LINE), indexAt(profile, NEAR_LINE));
    if (edgeAt < 0) continue;
    sectors.push({ u, profile, fall, grain: grainOf(profile), edgeFall: fall[edgeAt]!, edgeAt });
  }
  return sectors;
}

/** Index of a height above the line in a profile, kept inside it. */
export function indexAt(profile: Profile, height: number): number {
  return Math.max(0, Math.min(profile.log.length - 1, Math.round((height - profile.v0) / profile.dv)));
}

/** Mean log10 light between two heights above the line; NaN when less than half of it is known. */
export function meanLog(profile: Profile, low: number, high: number): number {
  let sum = 0;
  let n = 0;
  const [a, b] = [indexAt(profile, low), indexAt(profile, high)];
  for (let i = a; i <= b; i++) {
    if (!Number.isFinite(profile.log[i]!)) continue;
    sum += profile.log[i]!;
    n++;
  }
  return 2 * n > b - a ? sum / n : Number.NaN;
}

/** Height of the read line at u; level beyond its ends. */
export function lineHeight(finding: CutOffFinding): (u: number) => number {
  const { line } = finding;
  return (u) => {
    const last = line.length - 1;
    if (u <= line[0]!.u) return line[0]!.v;
    if (u >= line[last]!.u) return line[last]!.v;
    let i = 1;
    while (line[i]!.u < u) i++;
    const [a, b] = [line[i - 1]!, line[i]!];
    return a.v + ((u - a.u) / (b.u - a.u || 1)) * (b.v - a.v);
  };
}

function fallOf(profile: Profile): Float64Array {
  const smooth = smoothLog(profile.log, SIGMA / profile.dv);
  const perStep = tanFromDeg(0.1) / (2 * profile.dv);
  return Float64Array.from(smooth, (_, i) =>
    i === 0 || i === smooth.length - 1 || !Number.isFinite(profile.log[i]!)
      ? Number.NaN
      : (smooth[i - 1]! - smooth[i + 1]!) * perStep,
  );
}

/** Steps on either side over which grain is taken to be the same: 0.3 deg. */
const GRAIN_REACH = tanFromDeg(0.3);

/**
 * Grain from the differences of neighbouring steps, which the light itself hardly changes: their median size is 0.954
 * standard deviations of one step. A Gaussian of s steps leaves sqrt(1 / (4 sqrt(pi) s^3)) of it in a slope per step.
 */
function grainOf(profile: Profile): Float64Array {
  const { log, dv } = profile;
  const steps = Math.round(GRAIN_REACH / dv);
  const s = SIGMA / dv;
  const perFall = (Math.sqrt(1 / (4 * Math.sqrt(Math.PI) * s ** 3)) * tanFromDeg(0.1)) / dv;
  const out = new Float64Array(log.length);
  for (let from = 0; from < log.length; from += steps) {
    const sizes: number[] = [];
    for (let i = Math.max(1, from - steps); i < Math.min(log.length, from + 2 * steps); i++) {
      const size = Math.abs(log[i]! - log[i - 1]!);
      if (Number.isFinite(size)) sizes.push(size);
    }
    sizes.sort((a, b) => a - b);
    out.fill((perFall * (sizes[sizes.length >> 1] ?? 0)) / 0.954, from, from + steps);
  }
  return out;
}

function greatestIn(values: Float64Array, from: number, to: number): number {
  let best = -1;
  for (let i = from; i <= to; i++) if (values[i]! > (best < 0 ? -Infinity : values[best]!)) best = i;
  return best;
}
