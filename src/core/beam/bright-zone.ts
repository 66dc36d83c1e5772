import type { LightGrid } from '../sampling/light-grid.ts';
import { tanFromDeg } from '../units.ts';
import { DARKEST } from './aligned-profile.ts';
import { findInflection, INFLECTION_RULE, type Profile, QUIET_RULE } from './inflection.ts';

/** One edge of the bright zone: a tangent, and how sure it is. */
export interface ZoneEdge {
  readonly at: number;
  readonly u: number;
}

/** Half width of the strip through the hot spot that is averaged. */
const STRIP = tanFromDeg(0.5);
/** Softer than this per 0.1 deg the zone has no edge to speak of. */
const SOFTEST = 0.01;

/**
 * Top edge of the bright zone: where log light falls fastest going up from the hot spot, on a strip 1 deg wide.
 * For lamps without a cut-off (SAE J599, from memory: top edge on the lamp-centre line).
 * @returns v in tangents, or null when nothing falls off clearly.
 */
export function topEdge(grid: LightGrid, spot: { readonly u: number; readonly v: number }): ZoneEdge | null {
  const log = new Float64Array(grid.rows).fill(Number.NaN);
  for (let r = 0; r < grid.rows; r++) {
    log[r] = meanLog(grid, (c) => Math.abs(grid.u0 + c * grid.du - spot.u) <= STRIP, r, r);
  }
  return edgeFrom({ v0: grid.v0, dv: grid.dv, log }, spot.v);
}

/**
 * Left edge of the bright zone: where log light falls fastest going left from the hot spot, on a strip 1 deg high.
 * @returns u in tangents, or null.
 */
export function leftEdge(grid: LightGrid, spot: { readonly u: number; readonly v: number }): ZoneEdge | null {
  const low = Math.max(0, Math.ceil((spot.v - STRIP - grid.v0) / grid.dv));
  const high = Math.min(grid.rows - 1, Math.floor((spot.v + STRIP - grid.v0) / grid.dv));
  const log = new Float64Array(grid.columns).fill(Number.NaN);
  // Mirrored, so that leftwards is onwards.
  for (let c = 0; c < grid.columns; c++) log[grid.columns - 1 - c] = meanLog(grid, (k) => k === c, low, high);
  const found = edgeFrom({ v0: -(grid.u0 + (grid.columns - 1) * grid.du), dv: grid.du, log }, -spot.u);
  return found && { ...found, at: -found.at };
}

function edgeFrom(profile: Profile, from: number): ZoneEdge | null {
  const end = profile.v0 + profile.dv * (profile.log.length - 1);
  const search: readonly [number, number] = [from + tanFromDeg(0.2), Math.min(end, from + tanFromDeg(6))];
  const fine = findInflection(profile, search, INFLECTION_RULE);
  const quiet = findInflection(profile, search, QUIET_RULE);
  const found = quiet ?? fine;
  if (!found || found.g < SOFTEST) return null;
  // A soft zone has no sharp place: the two ways of finding it, and a tenth of the zone's own width, say how vague it is.
  const apart = fine && quiet ? Math.abs(fine.v - quiet.v) : 0;
  return { at: found.v, u: Math.hypot(apart / 2, 0.1 * (found.zone[1] - found.zone[0]), tanFromDeg(0.03)) };
}

function meanLog(grid: LightGrid, wanted: (c: number) => boolean, low: number, high: number): number {
  let sum = 0;
  let n = 0;
  for (let r = low; r <= high; r++) {
    for (let c = 0; c < grid.columns; c++) {
      const k = r * grid.columns + c;
      if (!wanted(c) || !Number.isFinite(grid.light[k]!) || grid.clipped[k]! > 0) continue;
      sum += grid.light[k]!;
      n++;
    }
  }
  return n === 0 ? Number.NaN : Math.log10(Math.max(DARKEST, sum / n));
}
