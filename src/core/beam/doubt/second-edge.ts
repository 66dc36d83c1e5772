import { tanFromDeg } from '../../units.ts';
import { indexAt, type Sector } from './edge-survey.ts';

/** What else falls or rises beside the edge in one sector. Heights from the line, tangents; falls per 0.1 deg of log10. */
export interface Beside {
  /** How far a second fall stands out from the valley between it and the edge; 0 when there is none. */
  readonly second: number;
  readonly secondAt: number;
  /** The steepest rise of light, going up. */
  readonly rise: number;
  readonly riseAt: number;
}

/** Below the edge, and above it, so far out: further away lies the foreground, and the dark. */
const BELOW = tanFromDeg(3);
const ABOVE = tanFromDeg(2.5);
/** This many unknown steps (burnt out, print) end the search: what lies beyond is seen without its surroundings. */
const LOST = 6;
/** Above the edge grain and JPEG steps make falls of their own where less than this is left of the light below it. */
const LEAST_LIGHT = Math.log10(0.02);

/** What grain may feign, in its standard deviations; several sectors in a row must agree besides. */
const GRAIN = 3;

export interface SectorDoubt {
  readonly sector: Sector;
  readonly below: Beside;
  readonly above: Beside;
}

/** Second falls and rises of light on both sides of the edge, sector by sector. */
export function besideEdge(sectors: readonly Sector[]): readonly SectorDoubt[] {
  return sectors.map((sector) => ({
    sector,
    below: look(sector, -1, -BELOW),
    above: look(sector, 1, ABOVE),
  }));
}

function look(sector: Sector, way: 1 | -1, limit: number): Beside {
  const { profile, fall, edgeAt, edgeFall } = sector;
  const end = indexAt(profile, limit);
  const at = (i: number) => profile.v0 + i * profile.dv;
  const least = profile.log[edgeAt]! + LEAST_LIGHT;
  let valley = edgeFall;
  let lost = 0;
  let second = 0;
  let secondAt = 0;
  let rise = 0;
  let riseAt = 0;
  for (let i = edgeAt + way; i !== end; i += way) {
    const value = fall[i]!;
    if (!Number.isFinite(value)) {
      if (++lost > LOST) break;
      continue;
    }
    if (way > 0 && profile.log[i]! < least) break;
    if (value < valley) valley = value;
    const doubt = GRAIN * sector.grain[i]!;
    const standsOut = value - Math.max(0, valley) - doubt;
    if (standsOut > second) {
      second = standsOut;
      secondAt = at(i);
    }
    if (-value - doubt > rise) {
      rise = -value - doubt;
      riseAt = at(i);
    }
  }
  return { second, secondAt, rise, riseAt };
}

/** The longest run of neighbouring sectors for which `holds` is true. */
export function longestRun(
  sectors: readonly SectorDoubt[],
  holds: (s: SectorDoubt) => boolean,
): SectorDoubt[] {
  let best: SectorDoubt[] = [];
  let run: SectorDoubt[] = [];
  for (const s of sectors) {
    run = holds(s) ? [...run, s] : [];
    if (run.length > best.length) best = run;
  }
  return best;
}
