import { radFromDeg, tanFromDeg } from '../core/units.ts';
import { flatColumn } from './beam.ts';
import { boardLight, distanceTo, type Light } from './board-illuminance.ts';
import { type HotSpotTruth, hotSpotOf } from './hot-spot-truth.ts';
import { steepestFall } from './inflection.ts';
import type { Lamp } from './lamp.ts';
import type { BoardPlace } from './space.ts';

/**
 * Where the flat part's line (inflections 1.5 to 3.5 deg from the elbow as built) meets the rise: the line through the
 * inflections at 1, 2 and 3 deg (standards G-8), or the steepest tangent of a ramp.
 */
export interface ElbowTruth {
  readonly offsetPct: number;
  readonly dropPct: number;
  /**
   * False when the definition holds on to little: the rise's three points lie more than 0.1 % off their line, or the lit
   * width smears a ramp over more than 3 %.
   */
  readonly clear: boolean;
}

/** What the first lamp's beam truly shows. Per cent from its reference centre: drop + down, offset + right. */
export interface BeamTruth {
  /**
   * Drop of the inflection of log10 illuminance, 2.5 deg to the flat side of the elbow; on V-V for a flat beam; null for a
   * driving beam.
   */
  readonly dropPct: number | null;
  readonly elbow: ElbowTruth | null;
  /** Of the flat part between 1 and 4 deg from the elbow (4 deg either side for a flat beam), + right side up. */
  readonly tiltDeg: number | null;
  /** Centroid of intensity above 80 % of the lightly smoothed peak. */
  readonly hotSpot: HotSpotTruth;
  /** Greatest fall of log10 light per 0.1 deg where `dropPct` is taken. */
  readonly sharpnessG: number | null;
  /** The inflection, column by column, 0.5 deg apart: for drawing, and for schemes that look elsewhere. */
  readonly edge: readonly { readonly offsetPct: number; readonly dropPct: number }[];
}

const DEG = Math.PI / 180;

/** One way of looking at a beam: sharp enough for its edge, and cheaper for its broad hot spot. */
interface Look {
  readonly edge: Light;
  readonly broad: Light;
  /** Lit width over distance. */
  readonly smear: number;
}

/**
 * The truth by dense numerical evaluation, apart from everything that the picture is made with: no grid, no camera, no
 * ambient light, no glare.
 */
export function beamTruth(
  lamp: Lamp,
  board: BoardPlace,
): { readonly onBoard: BeamTruth; readonly far: BeamTruth } {
  const near: Look = {
    edge: boardLight(lamp, board, 0.25),
    broad: boardLight(lamp, board, 1.2),
    smear: lamp.opening.filling === 'point' ? 0 : lamp.opening.widthMm / distanceTo(lamp, board),
  };
  return { onBoard: truthOf(lamp, near), far: farTruth(lamp) };
}

/**
 * Drop of the inflection of log10 light on the vertical line at `offsetPct`, per cent: for schemes that look elsewhere
 * than 2.5 deg from the elbow. Not a number for a beam without cut-off.
 */
export function edgeDropAt(
  lamp: Lamp,
  board: BoardPlace,
  offsetPct: number,
): { readonly onBoardPct: number; readonly farPct: number } {
  if (!lamp.beam.cutOff) return { onBoardPct: Number.NaN, farPct: Number.NaN };
  const u = offsetPct / 100;
  return {
    onBoardPct: -100 * scanner(lamp, boardLight(lamp, board, 0.25))(u),
    farPct: -100 * scanner(lamp, lamp.intensity)(u),
  };
}

/** What an instrument far away would see. */
export function farTruth(lamp: Lamp): BeamTruth {
  return truthOf(lamp, { edge: lamp.intensity, broad: lamp.intensity, smear: 0 });
}

function truthOf(lamp: Lamp, look: Look): BeamTruth {
  const hotSpot = hotSpotOf(lamp, look.broad);
  const { cutOff } = lamp.beam;
  if (!cutOff) return { dropPct: null, elbow: null, tiltDeg: null, hotSpot, sharpnessG: null, edge: [] };
  const scan = scanner(lamp, look.edge);
  const flatSide = cutOff.riseSide === 'left' ? 1 : -1;
  const u0 = lamp.aim.offsetPct / 100;
  if (cutOff.riseSide === 'none') {
    const at = scan(0);
    const line = lineThrough([-4, -3, -2, -1, 1, 2, 3, 4].map(tanFromDeg), scan);
    return {
      dropPct: -100 * at,
      elbow: null,
      tiltDeg: Math.atan(line.slope) / DEG,
      hotSpot,
      sharpnessG: sharpnessAt(look.edge, 0, at),
      edge: edgeOf(scan, 0),
    };
  }
  const side = (deg: number): number => u0 + flatSide * tanFromDeg(deg);
  const flat = lineThrough([1.5, 2, 2.5, 3, 3.5].map(side), scan);
  const rises = [-1, -2, -3].map(side);
  const rise = Number.isFinite(cutOff.rampRun) ? steepestTangent(lamp, scan) : lineThrough(rises, scan);
  const u = (rise.start - flat.start) / (flat.slope - rise.slope);
  const bend = Number.isFinite(cutOff.rampRun)
    ? 0
    : Math.max(...rises.map((x) => Math.abs(scan(x) - rise.start - rise.slope * x)));
  const clear = bend < 0.001 && (!Number.isFinite(cutOff.rampRun) || look.smear < 0.03);
  const elbow = { offsetPct: 100 * u, dropPct: -100 * (flat.start + flat.slope * u), clear };
  const column = u + flatSide * tanFromDeg(2.5);
  const at = scan(column);
  const tilt = lineThrough(
    [1, 1.5, 2, 2.5, 3, 3.5, 4].map((deg) => u + flatSide * tanFromDeg(deg)),
    scan,
  );
  return {
    dropPct: -100 * at,
    elbow,
    tiltDeg: Math.atan(tilt.slope) / DEG,
    hotSpot,
    sharpnessG: sharpnessAt(look.edge, column, at),
    edge: edgeOf(scan, u0),
  };
}

/** Place of the inflection on the vertical line at u. */
type Scan = (u: number) => number;

/**
 * Inflection on a vertical line. On the column that the standards scan it is searched 2 deg either side of where the
 * cut-off was built; that says how far the whole edge has moved, and the other columns are searched within 0.9 deg of
 * there, so that a beam with a second, fainter edge is followed along one of them.
 */
function scanner(lamp: Lamp, light: Light): Scan {
  const { cutOff } = lamp.beam;
  const u0 = lamp.aim.offsetPct / 100;
  const [c, s] = [Math.cos(radFromDeg(lamp.aim.tiltDeg)), Math.sin(radFromDeg(lamp.aim.tiltDeg))];
  const built = (u: number): number =>
    (cutOff ? cutOff.height(u - u0) : 0) * c + (u - u0) * s - lamp.aim.dropPct / 100;
  const search = (u: number, low: number, high: number): number => {
    const column: (v: number) => number = (v) => light(u, v);
    return steepestFall(column, low, high, 0.12 * DEG, 0.012 * DEG, 0).at;
  };
  const first = cutOff ? u0 + flatColumn(cutOff) : u0;
  const moved = search(first, built(first) - 1.7 * DEG, built(first) + 2.3 * DEG) - built(first);
  return (u) => search(u, built(u) + moved - 0.9 * DEG, built(u) + moved + 0.9 * DEG);
}

/** The greatest fall of log10 light over 0.1 deg near the inflection at v (standards G-1). */
function sharpnessAt(light: Light, u: number, at: number): number {
  const half = 0.05 * DEG;
  return Math.max(
    ...[-0.02, -0.01, 0, 0.01, 0.02].map((deg) =>
      Math.log10(light(u, at + deg * DEG - half) / light(u, at + deg * DEG + half)),
    ),
  );
}

interface Line {
  readonly start: number;
  readonly slope: number;
}

function lineThrough(us: readonly number[], scan: Scan): Line {
  return lineOf(us, us.map(scan));
}

/** Least squares line v = start + slope u. */
function lineOf(us: readonly number[], vs: readonly number[]): Line {
  const n = us.length;
  const mu = us.reduce((a, b) => a + b, 0) / n;
  const mv = vs.reduce((a, b) => a + b, 0) / n;
  let suv = 0;
  let suu = 0;
  us.forEach((u, i) => {
    suv += (u - mu) * (vs[i]! - mv);
    suu += (u - mu) ** 2;
  });
  const slope = suv / suu;
  return { start: mv - slope * mu, slope };
}

/**
 * The tangent of the edge where it climbs fastest along the ramp: looked for at points 0.15 deg apart, then the steepest
 * line through three points 0.08 deg apart near there.
 */
function steepestTangent(lamp: Lamp, scan: Scan): Line {
  const cutOff = lamp.beam.cutOff;
  const sign = cutOff?.riseSide === 'left' ? -1 : 1;
  const u0 = lamp.aim.offsetPct / 100;
  const run = cutOff?.rampRun ?? 0;
  const climb = (from: number, to: number, step: number): { readonly u: number; readonly line: Line } => {
    const n = Math.max(3, Math.ceil((to - from) / step) + 1);
    const us = Array.from({ length: n }, (_, i) => u0 + sign * (from + i * step));
    const vs = us.map(scan);
    let best = { u: us[1] as number, line: { start: 0, slope: 0 } };
    for (let i = 0; i + 2 < n; i++) {
      const line = lineOf(us.slice(i, i + 3), vs.slice(i, i + 3));
      if (sign * line.slope > sign * best.line.slope) best = { u: us[i + 1] as number, line };
    }
    return best;
  };
  const coarse = climb(-0.6 * DEG, run + 0.6 * DEG, 0.15 * DEG);
  const x = sign * (coarse.u - u0);
  return climb(x - 0.24 * DEG, x + 0.24 * DEG, 0.08 * DEG).line;
}

function edgeOf(scan: Scan, u0: number): BeamTruth['edge'] {
  return Array.from({ length: 17 }, (_, i) => {
    const u = u0 + tanFromDeg(i * 0.5 - 4);
    return { offsetPct: 100 * u, dropPct: -100 * scan(u) };
  });
}
