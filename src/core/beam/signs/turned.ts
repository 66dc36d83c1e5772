import { degFromRad, radFromDeg } from '../../units.ts';
import type { CutOffFinding } from '../finding.ts';
import type { SeenLight } from './seen-light.ts';

/** How the level part and the rise lie. Degrees, + right side up. */
export interface Turned {
  readonly tiltDeg: number;
  /** Standard uncertainty from the light alone. */
  readonly uDeg: number;
  /**
   * The rise against the level of the board, and against the level part; null without one whose angle the regulations
   * fix (15 deg: standards CUT-2).
   */
  readonly rise: { readonly deg: number; readonly fromFlatDeg: number; readonly uDeg: number } | null;
}

/** The rise's angle by the rules. */
export const NOMINAL_RISE = 15;

/** A rise must lean by this much more than the level part, and a step lift the edge by this much, deg: else it is none. */
const LEAST_RISE = 5;
const LEAST_STEP = 0.25;

/** Whether there is an elbow beyond doubt: a crooked level edge can look a little like one. */
export function elbowSure(seen: SeenLight, turned: Turned, finding: CutOffFinding): boolean {
  if (!finding.elbow.found || finding.riseSide === 'none') return false;
  if (turned.rise !== null) return turned.rise.fromFlatDeg - 2 * turned.rise.uDeg > LEAST_RISE;
  const line = seen.joint?.line?.line;
  const lift = line ? line.slope * line.length : degFromRad(seen.edge.line.slope * seen.edge.line.length);
  return lift > LEAST_STEP;
}

export function turnedOf(seen: SeenLight, finding: CutOffFinding): Turned {
  const parts = Object.values(finding.tiltDeg.parts);
  const uDeg = Math.hypot(...parts.map((p) => p ?? 0));
  const tiltDeg = finding.tiltDeg.value;
  const line = seen.joint?.line?.line ?? null;
  const ramp = line ?? seen.edge.line;
  if (finding.kind !== 'rise' || ramp.side === 0 || Number.isFinite(ramp.length))
    return { tiltDeg, uDeg, rise: null };
  const tilt = Math.tan(radFromDeg(tiltDeg));
  // The fit's slope is what the ramp adds to the level part, counted towards the rise's side.
  const deg = degFromRad(Math.atan(ramp.slope + ramp.side * tilt));
  const points = seen.edge.points.filter((p) => p.used && ramp.side * (p.u - seen.edge.line.bend) > 0);
  const lengthDeg = points.length * degFromRad(seen.grid.du);
  return {
    tiltDeg,
    uDeg,
    rise: {
      deg,
      fromFlatDeg: deg - ramp.side * tiltDeg,
      // Read off: an edge known to 0.05 deg at either end of what is seen of the rise.
      uDeg: degFromRad(0.07 / Math.max(0.5, lengthDeg)) + 0.3,
    },
  };
}
