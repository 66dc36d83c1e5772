import { tanFromDeg } from '../../units.ts';
import type { LightMap } from './light-map.ts';
import { lineAt, middleOf, type SeenLight } from './seen-light.ts';

/** Light above the edge, beyond what near field lifts there. Shares of the beam's peak. */
export interface LightAbove {
  /** Median 1 to 2 deg above the edge's upper end, and 2.5 to 4.5 deg above it (null: the board ends before). */
  readonly near: number;
  readonly high: number | null;
  /** The near zone with what was taken away as room light. */
  readonly withRoom: number;
  /** Standard uncertainty of both: room light that may be left, or was taken away too much. */
  readonly u: number;
  /** Median of the near zone over the brightest light just below the edge in the same columns. */
  readonly ofBright: number;
  /** The peak is clipped: shares are upper limits. */
  readonly atMost: boolean;
  /** Largest light of streaks and patches above the edge beyond their surroundings, and the area they cover, deg2. */
  readonly streak: number;
  readonly streakArea: number;
}

const NEAR = [tanFromDeg(1), tanFromDeg(2)] as const;
const HIGH = [tanFromDeg(2.5), tanFromDeg(4.5)] as const;
const BRIGHT = tanFromDeg(2);
/** Columns this far about the elbow: further aside the beam itself is dim. */
const ASIDE = tanFromDeg(6);
/** A streak is brighter than what lies this far above and below it. */
const AROUND = tanFromDeg(1.2);
/** What counts as part of a streak, share of the peak. */
const STREAK = 0.012;

/** @returns null when too little of the board lies above the edge. */
export function lightAbove(seen: SeenLight, map: LightMap): LightAbove | null {
  const { peak } = seen.spot;
  const middle = middleOf(seen);
  // Light from the upper end of the lit opening draws the edge that much higher.
  const lift = 1.1 * seen.halfHeight;
  const near: number[] = [];
  const high: number[] = [];
  const ratios: number[] = [];
  let streak = 0;
  let streakCells = 0;
  const hop = Math.round(AROUND / map.step);
  for (let c = 0; c < map.columns; c++) {
    const u = map.u0 + c * map.step;
    if (Math.abs(u - middle) > ASIDE) continue;
    const line = lineAt(seen, u);
    const here: number[] = [];
    let bright = 0;
    for (let r = 0; r < map.rows; r++) {
      const e = map.light[r * map.columns + c]!;
      if (!Number.isFinite(e)) continue;
      const above = map.v0 + r * map.step - line;
      if (above < 0 && above > -BRIGHT - lift) bright = Math.max(bright, e);
      const up = above - lift;
      if (up >= NEAR[0] && up <= NEAR[1]) here.push(e);
      else if (up >= HIGH[0] && up <= HIGH[1]) high.push(e);
      if (up < NEAR[0]) continue;
      const over = map.light[(r + hop) * map.columns + c];
      const under = map.light[(r - hop) * map.columns + c];
      if (over === undefined || under === undefined || r + hop >= map.rows) continue;
      const ridge = (e - (over + under) / 2) / peak;
      if (!(ridge > STREAK)) continue;
      streakCells++;
      streak = Math.max(streak, ridge);
    }
    if (here.length === 0 || !(bright > 0)) continue;
    near.push(...here);
    ratios.push(median(here) / bright);
  }
  if (near.length < 60) return null;
  const cell = (map.step / tanFromDeg(1)) ** 2;
  return {
    near: median(near) / peak,
    high: high.length < 60 ? null : median(high) / peak,
    withRoom: median(near) / peak + seen.added.value / peak,
    u: seen.added.u / peak,
    ofBright: median(ratios),
    atMost: seen.spot.clippedShare > 0.05,
    streak,
    streakArea: streakCells * cell,
  };
}

function median(values: number[]): number {
  values.sort((a, b) => a - b);
  return values[values.length >> 1]!;
}
