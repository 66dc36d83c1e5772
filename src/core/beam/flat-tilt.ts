import type { LightGrid } from '../sampling/light-grid.ts';
import { degFromRad, tanFromDeg } from '../units.ts';
import { alignedProfile } from './aligned-profile.ts';
import { type BentLine, bentLineAt } from './bent-line.ts';
import { findInflection, QUIET_RULE } from './inflection.ts';

/** Slope of the flat part, deg, + right side up, with its standard uncertainty. */
export interface FlatTilt {
  readonly deg: number;
  readonly u: number;
}

/** Groups of columns, each half a degree wide, from 1 to 4 deg on the flat side (either side of a flat edge). */
const WIDE = tanFromDeg(0.5);
const NEAR = tanFromDeg(1);
const FAR = tanFromDeg(4);
const REACH = { below: tanFromDeg(1), above: tanFromDeg(1) };
const SEARCH: readonly [number, number] = [-tanFromDeg(0.35), tanFromDeg(0.35)];

/**
 * Tilt of the flat part from inflections of its own, not from the bent line: the elbow's rounding and the dim ends of
 * the beam pull on that one.
 *
 * @returns null when fewer than three groups show the edge: then the line's own slope is the best there is.
 */
export function measureTilt(grid: LightGrid, line: BentLine, flatAround: number): FlatTilt | null {
  const from = line.side === 0 ? -FAR : NEAR;
  const places: { u: number; v: number }[] = [];
  for (let t = from; t < FAR - WIDE / 2; t += WIDE) {
    const low = flatAround - (line.side || 1) * t;
    const high = flatAround - (line.side || 1) * (t + WIDE);
    const columns: number[] = [];
    for (let c = 0; c < grid.columns; c++) {
      const u = grid.u0 + c * grid.du;
      if (u >= Math.min(low, high) && u < Math.max(low, high)) columns.push(c);
    }
    if (columns.length < 3) continue;
    const found = findInflection(
      alignedProfile(grid, columns, (u) => bentLineAt(line, u), REACH),
      SEARCH,
      QUIET_RULE,
    );
    if (!found) continue;
    const u = grid.u0 + (grid.du * columns.reduce((s, c) => s + c, 0)) / columns.length;
    places.push({ u, v: bentLineAt(line, u) + found.v });
  }
  if (places.length < 3) return null;
  const mu = places.reduce((s, p) => s + p.u, 0) / places.length;
  const mv = places.reduce((s, p) => s + p.v, 0) / places.length;
  const suu = places.reduce((s, p) => s + (p.u - mu) ** 2, 0);
  const slope = places.reduce((s, p) => s + (p.u - mu) * (p.v - mv), 0) / suu;
  const rest = places.reduce((s, p) => s + (p.v - mv - slope * (p.u - mu)) ** 2, 0);
  const scatter = Math.max(Math.sqrt(rest / (places.length - 2)), tanFromDeg(0.006));
  return { deg: degFromRad(Math.atan(slope)), u: degFromRad(scatter / Math.sqrt(suu)) };
}
