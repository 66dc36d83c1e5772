import { tanFromDeg } from '../../units.ts';
import type { CutOffFinding } from '../finding.ts';
import { findInflection, INFLECTION_RULE, type Profile } from '../inflection.ts';
import { meanLog, type Sector } from './edge-survey.ts';
import { median } from './uneven-edge.ts';

/** Light about the edge that is not the lamp's, at the measured place. */
export interface OtherLight {
  /** log10 of the light just below the edge over that above it: how much of a fall is left. */
  readonly fall: number;
  /** Change of log10 light per degree going up, 0.9 to 2.9 deg above the edge: + brighter upwards. */
  readonly growsPerDeg: number;
  /** How far the inflection moves when light that changes evenly upwards is taken out, as against an even light, per cent of height. */
  readonly leansPct: number;
  /**
   * Range from sector to sector of the log10 light above the edge, or of its share of the light below when that is less: a
   * lamp's stray light is even or goes with its beam, a patch that lies there does neither.
   */
  readonly patch: number;
  /** Middle log10 light from 0.1 to 0.35 deg above the edge. */
  readonly darkest: number;
}

const NEAR = tanFromDeg(2.2);
const deg = tanFromDeg;

/** @returns null when the board ends too soon above the edge to tell. */
export function otherLightOf(sectors: readonly Sector[], finding: CutOffFinding): OtherLight | null {
  const at = finding.dropAtOffsetPct / 100;
  const near = sectors.filter((s) => Math.abs(s.u - at) <= NEAR);
  if (near.length === 0) return null;
  const each = near.flatMap((s) => {
    const below = meanLog(s.profile, -deg(0.9), -deg(0.45));
    const above = meanLog(s.profile, deg(0.9), deg(1.6));
    const further = meanLog(s.profile, deg(2.2), deg(2.9));
    return Number.isFinite(above)
      ? [{ below: Number.isFinite(below) ? below : burntOut(s.profile), above, further, sector: s }]
      : [];
  });
  if (each.length === 0) return null;
  const grows = median(each.map((e) => e.further - e.above).filter(Number.isFinite)) / 1.3;
  const dark = (profile: Profile): number =>
    median([...profile.log.slice(...range(profile, 0.1, 0.35))].filter(Number.isFinite));
  const darkest = median(each.map((e) => dark(e.sector.profile)));
  const levels = sectors.flatMap((s) => {
    const above = meanLog(s.profile, deg(0.9), deg(1.6));
    const below = meanLog(s.profile, -deg(0.9), -deg(0.45));
    return Number.isFinite(above) ? [{ above, over: above - (below || burntOut(s.profile)) }] : [];
  });
  return {
    patch: Math.min(rangeOf(levels.map((l) => l.above)), rangeOf(levels.map((l) => l.over))),
    fall: median(each.map((e) => e.below - e.above)),
    growsPerDeg: Number.isFinite(grows) ? grows : 0,
    leansPct: 100 * median(each.map((e) => leans(e.sector.profile))),
    darkest,
  };
}

/** A burnt-out place is at least as bright as white. */
function burntOut(profile: Profile): number {
  let most = Number.NEGATIVE_INFINITY;
  for (const l of profile.log) if (l > most) most = l;
  return most;
}

function rangeOf(values: readonly number[]): number {
  return values.length === 0 ? 0 : Math.max(...values) - Math.min(...values);
}

function range(profile: Profile, low: number, high: number): [number, number] {
  return [
    Math.round((deg(low) - profile.v0) / profile.dv),
    Math.round((deg(high) - profile.v0) / profile.dv),
  ];
}

/** Where the inflection goes when the light's change above the edge is taken to go on below it. */
function leans(profile: Profile): number {
  const search: [number, number] = [-deg(0.35), deg(0.35)];
  const first = findInflection(profile, search, INFLECTION_RULE);
  const low = 10 ** meanLog(profile, deg(0.9), deg(1.6));
  const high = 10 ** meanLog(profile, deg(2.2), deg(2.9));
  if (!first || !(low > 0) || !(high > 0)) return 0;
  const slope = (high - low) / deg(1.3);
  const middle = deg(1.25);
  const log = profile.log.map((l, i) => {
    const height = profile.v0 + i * profile.dv;
    const taken = slope * Math.max(-deg(2), Math.min(0, height - middle));
    return Math.log10(Math.max(1e-5, 10 ** l - taken));
  });
  const other = findInflection({ ...profile, log }, search, INFLECTION_RULE);
  return other ? other.v - first.v : 0;
}
