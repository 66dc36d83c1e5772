import { degFromRad } from '../../units.ts';
import type { CutOffFinding } from '../finding.ts';
import { lineAt, type SeenLight } from './seen-light.ts';

/** Where the hot spot lies from where it belongs. Degrees. */
export interface HotSpotPlace {
  /** From the elbow towards the rise; null without an elbow. */
  readonly asideDeg: number | null;
  /** Below the level part's line as seen from far. */
  readonly belowDeg: number;
  /** Standard uncertainties. */
  readonly uAsideDeg: number;
  readonly uBelowDeg: number;
}

/** How large a part of its own half size a burnt-out spot's centre may be off. */
const VAGUE = 0.4;

export function hotSpotPlace(seen: SeenLight, finding: CutOffFinding, elbowSure: boolean): HotSpotPlace {
  const { spot } = seen;
  const { line } = seen.edge;
  const level = line.side === 0 ? lineAt(seen, spot.u) : line.atBend + line.tilt * (spot.u - line.bend);
  const bend = elbowSure && finding.elbow.found ? finding.elbow.offsetPct.value / 100 : null;
  // Near field lifts the edge, not the hot spot.
  const best = seen.joint?.fillings[0]?.fit;
  const lift = best === undefined ? 0 : best.onBoard - best.far;
  // A clipped zone has edges, but no peak.
  const vague = VAGUE * Math.min(1, spot.clippedShare);
  return {
    asideDeg: bend === null || line.side === 0 ? null : line.side * degFromRad(Math.atan(spot.u - bend)),
    belowDeg: degFromRad(Math.atan(level - lift - spot.v)),
    uAsideDeg: degFromRad(2 * spot.spreadU + seen.halfWidth / 4) + vague,
    uBelowDeg: degFromRad(2 * spot.spreadV + seen.halfHeight / 4) + vague,
  };
}
